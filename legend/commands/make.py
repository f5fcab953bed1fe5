"""Run `legend make`: write every file of one or several descriptions, with an account."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterable, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import replace as replaced
from pathlib import Path
from typing import TYPE_CHECKING

import click

from legend.commands.exit_status import leave, status_of
from legend.commands.options import (
    CORRECTION,
    DRILLED,
    OUTLINES,
    REPLACE,
    START,
    VERBOSE,
    folder_of,
    out_option,
    paper_in_question,
    paper_option,
)
from legend.failures import NOT_DONE
from legend.sentences import counted

if TYPE_CHECKING:
    from datetime import datetime

    from legend.drawing.pdf.paper import Paper
    from legend.making.panel_files import Made, Order


@click.command()
@click.argument(
    "panels", nargs=-1, required=True, metavar="PANEL...", type=click.Path(path_type=Path)
)
@DRILLED
@out_option("The folder to write to; of several, one folder in it for each.  [default: one named "
            "after each PANEL]")  # fmt: skip
@paper_option("Of the overlay: A4, A3, letter, or width and height, such as 297x420 or 11x17in.")
@CORRECTION
@OUTLINES
@START
@REPLACE
@VERBOSE
def make(
    panels: tuple[Path, ...],
    drilled: tuple[Path, ...],
    out: Path | None,
    paper: Paper,
    correction: tuple[float, float],
    outlines: bool,
    start: datetime | None,
    replace: bool,
    verbose: bool,
) -> None:
    """Make everything of a panel, or of several.

    That is its stencils, placement cards, overlay, proofs, job card and findings. Several panels
    are made side by side, those that share a style so that they match. One that fails does not
    stop the others; the exit status is that of the worst. With --drilled, the unit of each list
    is made instead of the one that the description tells of.
    """
    from legend.making.panel_files import Order, matching
    from legend.making.panel_files import make as make_one
    from legend.making.stages import units_matched

    panels, drilled = _each_once(panels), _each_once(drilled)
    if drilled and len(panels) > 1:
        raise click.UsageError("With --drilled, name one panel at a time.")
    folders = _of_units(panels[0], drilled, out) if drilled else _folders(panels, out)
    orders = [
        Order(panel, folder, paper, correction, start, replace, outlines=outlines)
        for panel, folder in zip(panels * max(1, len(drilled)), folders, strict=True)
    ]
    with paper_in_question(panels[0]):
        if drilled:
            units = units_matched(panels[0], drilled)
            orders = [replaced(o, matched=unit) for o, unit in zip(orders, units, strict=True)]
        elif len(orders) > 1:
            orders = matching(orders)
        if len(orders) > 1:
            _several(orders, verbose)
        made = make_one(orders[0])
    _tell_of(orders[0], made, verbose)
    leave(status_of(made.findings))


def _several(orders: Sequence[Order], verbose: bool) -> None:
    from legend.drawing.pdf.paper import check_paper
    from legend.making.panel_files import make_all

    check_paper(orders[0].paper, orders[0].correction)  # told once, if it is wrong
    outcomes: Iterable[Made | str] = make_all(orders)
    bar: AbstractContextManager[Iterable[Made | str]] = nullcontext(outcomes)
    if sys.stderr.isatty():
        bar = click.progressbar(outcomes, len(orders), label="Making", file=sys.stderr)
    with bar as making:
        made = list(making)
    status, failed = 0, 0
    for order, outcome in zip(orders, made, strict=True):
        if isinstance(outcome, str):
            click.echo(f"{order.called}: not made.")
            click.echo(outcome, err=True)
            status, failed = NOT_DONE, failed + 1
        else:
            click.echo(f"{order.called}: {len(outcome.files)} files in {order.folder}")
            _tell_findings(outcome, verbose)
            status = max(status, status_of(outcome.findings))
        click.echo()
    what = "unit" if orders[0].unit else "panel"
    done = f"{counted(len(orders) - failed, what)} made"
    not_made = f", {failed} not made" if failed else ""
    click.echo(f"{done}{not_made}. The cautions are on the job cards.")
    leave(status)


def _tell_of(order: Order, made: Made, verbose: bool) -> None:
    from legend.making import summary as account

    for line in (*made.panel, *account.of_files(order.folder, made.files), ""):
        click.echo(line)
    _tell_findings(made, verbose)
    click.echo("The cautions are on the job card.")


def _tell_findings(made: Made, verbose: bool) -> None:
    from legend.making import summary as account

    for line in account.of_findings(made.findings, verbose):
        click.echo(line)


def _each_once(files: Sequence[Path]) -> tuple[Path, ...]:
    return tuple({file.parent.resolve() / file.name: file for file in files}.values())


def _of_units(panel: Path, drilled: Sequence[Path], out: Path | None) -> list[Path]:
    """The folder for each unit of a panel, by their hole lists. Error: UsageError."""
    if out is None:
        usual = [folder_of(panel, [each]) for each in drilled]
        _refuse_one_for_two(drilled, usual)
        return usual
    if len(drilled) == 1:
        return [out]
    return [out / name for name in _told_apart([each.with_suffix("") for each in drilled])]


def _folders(panels: Sequence[Path], out: Path | None) -> list[Path]:
    """The folder for each panel; no two of several have the same. Error: UsageError."""
    usual = [folder_of(panel) for panel in panels]
    if out is None:
        _refuse_one_for_two(panels, usual)
        return usual
    if len(panels) == 1:
        return [out]
    return [out / name for name in _told_apart(usual)]


def _refuse_one_for_two(panels: Sequence[Path], folders: Sequence[Path]) -> None:
    taken: dict[Path, Path] = {}
    for panel, folder in zip(panels, folders, strict=True):
        other = taken.setdefault(folder.resolve(), panel)
        if other is not panel:
            raise click.UsageError(
                f"What is made of {other} and of {panel} would go into one folder, {folder}; say "
                "where it is to go, with --out."
            )


def _told_apart(folders: Sequence[Path]) -> list[str]:
    """A name for each folder: its own; of those alike, that of the folder round it; or a number."""
    whole = [folder.absolute() for folder in folders]
    counts = Counter(folder.name for folder in whole)
    names = [folder.name if counts[folder.name] == 1 else folder.parent.name for folder in whole]
    if all(names) and len(set(names)) == len(names):
        return names
    return [f"{folder.name}-{number}" for number, folder in enumerate(whole, 1)]
