"""Choose the exit status of a command by its findings, and print them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NoReturn

import click

if TYPE_CHECKING:
    from legend.layout.artwork import Finding

#: Exit statuses: all is well; done, but the artwork has errors; stopped by Ctrl-C.
DONE, WITH_ERRORS, STOPPED = 0, 1, 130


def status_of(findings: Sequence[Finding], strict: bool = False) -> int:
    """The exit status for what was found; where `strict`, warnings count as errors."""
    bad = {"error", "warning"} if strict else {"error"}
    return WITH_ERRORS if any(finding.severity in bad for finding in findings) else DONE


def tell(findings: Sequence[Finding], verbose: bool) -> int:
    """Tell what was found, on the standard error; the exit status for it."""
    from legend.making import summary as account

    for line in account.of_findings(findings, verbose):
        click.echo(line, err=True)
    return status_of(findings)


def leave(status: int) -> NoReturn:
    """End the command with this exit status."""
    click.get_current_context().exit(status)
