"""`python -m legend.handbook README.md`: what a README tells of the program, made anew."""

from __future__ import annotations

import sys
from pathlib import Path

from legend.handbook.tables import brought_up_to_date


def main(words: list[str]) -> None:
    """Write each file anew whose made parts are out of date, and say which."""
    for name in words or ["README.md"]:
        file = Path(name)
        before = file.read_text(encoding="utf-8")
        after = brought_up_to_date(before)
        if after != before:
            file.write_text(after, encoding="utf-8")
        print(f"{file} {'is up to date' if after == before else 'is brought up to date'}.")


if __name__ == "__main__":
    main(sys.argv[1:])
