"""Find the files of the editor among those of the package that brings them, without importing it.

The package is made for a web framework, which is never loaded: its folder is found by what the
installer wrote down of it.
"""

from __future__ import annotations

from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

#: The distribution, and the folder in it.
_DISTRIBUTION = "djangocms-static-ace"
_FOLDER = "djangocms_static_ace/static/admin/vendor/ace/"
#: What the page uses of it; nothing else is served.
NEEDED = (
    "ace.js",
    "ext-language_tools.js",
    "ext-searchbox.js",
    "mode-toml.js",
)


def ace_files() -> dict[str, Path]:
    """The files that the page needs, by their names; none where they are not installed."""
    try:
        listed = distribution(_DISTRIBUTION).files or []
    except PackageNotFoundError:
        return {}
    by_name = {file.as_posix(): file for file in listed}
    wanted = {name: by_name.get(_FOLDER + name) for name in NEEDED}
    return {name: Path(str(file.locate())) for name, file in wanted.items() if file}
