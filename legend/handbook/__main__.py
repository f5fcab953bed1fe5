"""Run `python -m legend.handbook [FILE...]`: make the generated tables of pages anew."""

from __future__ import annotations

import sys
from pathlib import Path

from legend.handbook.pages import PAGES
from legend.handbook.reference import brought_up_to_date


def main(words: list[str]) -> None:
    """Bring the pages of the handbook up to date, and the files named; say what was done."""
    for file in (*PAGES.values(), *map(Path, words)):
        before = file.read_text(encoding="utf-8")
        after = brought_up_to_date(before)
        if after != before:
            file.write_text(after, encoding="utf-8")
        print(f"{file} {'is up to date' if after == before else 'is brought up to date'}.")


if __name__ == "__main__":
    main(sys.argv[1:])
