"""The table of the checks against the outside world names each of them, and none that is not."""

import ast
import re
from pathlib import Path

FOLDER = Path(__file__).parent / "reference"
TABLE = (FOLDER / "README.md").read_text(encoding="utf-8")
KINDS = {"read", "published", "second hand", "library", "practice", "memory", "definition"}


def in_the_folder() -> list[tuple[str, str]]:
    """Every check, by its file and its name, in order."""
    return [
        (file.name, node.name)
        for file in sorted(FOLDER.glob("test_*.py"))
        for node in ast.parse(file.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_")
    ]


def rows() -> list[tuple[str, list[str]]]:
    """Every row of the table: the file under whose heading it stands, and its cells."""
    found, file = [], ""
    for line in TABLE.splitlines():
        if line.startswith("## "):
            file = line.removeprefix("## ")
        elif line.startswith("| `"):
            found.append((file, [cell.strip() for cell in line.strip("| ").split(" | ")]))
    return found


def test_every_check_has_its_row_and_every_row_its_check() -> None:
    assert [(file, cells[0].strip("`")) for file, cells in rows()] == in_the_folder()


def test_every_row_says_what_by_what_and_how_well() -> None:
    for file, cells in rows():
        assert len(cells) == 6 and all(cells), f"{file}: {cells}"
        assert set(re.split(", ", cells[3])) <= KINDS, f"{file}: {cells}"


#: How documents are called that a row may name.
_DOCUMENT = re.compile(
    r"NUREG-\d+|(?:ISO|IEC) \d[\d-]*\d|DOD-HDBK-\d+|MIL-\w+-\w+|EIA-\d+|WCAG \d\.\d|ANSI \w+\.\d"
    r"|CSS \w+|WHATWG \w+|Annex \d+|Technical Note \d+|OpenType"
)


def test_the_documents_of_a_row_are_named_in_its_file() -> None:
    found = 0
    for file, cells in rows():
        text = (FOLDER / file).read_text(encoding="utf-8")
        for document in _DOCUMENT.findall(cells[2]):
            assert document in text, f"{file}, {cells[0]}: {document}"
            found += 1
    assert found > 30
