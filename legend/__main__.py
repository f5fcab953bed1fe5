"""The `legend` command, and `python -m legend`."""

from __future__ import annotations

import sys


def main() -> None:
    """Run the command line. Exit status 0, 1 or 2, or 130 where it is interrupted."""
    try:
        from legend.cli import legend

        legend(prog_name="legend")
    except KeyboardInterrupt:
        sys.stderr.write("Interrupted; no file is left half-written.\n")
        sys.exit(130)


if __name__ == "__main__":
    main()
