"""The examples in docstrings do what they say."""

import doctest
from importlib import import_module
from pathlib import Path

import pytest

import legend

PACKAGE = Path(legend.__file__).parent
#: That of the package itself writes files; tests/test_public_face.py runs it where it may.
SHOWING = sorted(
    ".".join(file.relative_to(PACKAGE.parent).with_suffix("").parts)
    for file in PACKAGE.rglob("*.py")
    if ">>> " in file.read_text(encoding="utf-8") and file != PACKAGE / "__init__.py"
)


@pytest.mark.parametrize("module", SHOWING)
def test_the_examples_of_a_module(module: str) -> None:
    result = doctest.testmod(import_module(module))
    assert result.attempted and not result.failed


def test_there_are_examples() -> None:
    assert len(SHOWING) > 8
