"""Run `legend new`: write a description to begin with, from a hole list, answers, or nothing."""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click

from legend.failures import PlainError

if TYPE_CHECKING:
    from legend.starting.answers import Answers
    from legend.starting.guessing import Guess

_T = TypeVar("_T")


@click.command()
@click.option(
    "--from",
    "hole_list",
    type=click.Path(path_type=Path),
    help="A hole list to make it from: CSV with the columns id, x, y, drill, or a DXF drawing.",
)
@click.option(
    "--units",
    type=click.Choice(["mm", "in"]),
    help="Of the bare numbers in the hole list.  [default: mm]",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default="panel.toml",
    show_default=True,
    help="The file to write; it must not exist yet.",
)
def new(hole_list: Path | None, units: str | None, out: Path) -> None:
    """Write a description to begin with.

    Its comments tell what else there is. In a terminal it asks a few questions first.

    With --from it is made for the holes of a list, guessing from names, notes and diameters
    what is fitted in each.
    """
    from legend.starting.starter import Start, starter, starter_for, starter_from
    from legend.writing import write_new

    there = PlainError(
        f"{out} is there already and is left as it is; name another file with --out."
    )
    if hole_list:
        start = starter_for(hole_list, out, units or "mm")
    elif _in_a_terminal():
        if out.exists():  # before anybody answers in vain
            raise there
        answers = _ask(units)
        start = Start(starter_from(answers) if answers else starter())
    else:
        start = Start(starter())
    try:
        write_new(out, start.text.encode())
    except FileExistsError:
        raise there from None
    if start.doubt:
        click.echo(start.doubt, err=True)
    click.echo(f"{out} is written; next: legend make {out}")


def _in_a_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()


def _ask(units: str | None) -> Answers | None:
    """The answers to the questions; None where a sample is asked for instead."""
    from legend.starting.answers import (
        Answers,
        count_answered,
        part_answered,
        size_answered,
        units_answered,
    )

    click.echo("A few questions, to begin with. Ctrl-C ends them, and leaves nothing behind.")
    unit = units_answered(units) if units else _asked("In mm or in inches?", units_answered, "mm")
    size = _asked(
        "Width and height of the panel (Enter alone: write a sample to change into yours)",
        lambda text: size_answered(text, unit) if text.strip() else None,
        "",
    )
    if size is None:
        return None
    title = _asked("What is it called?", str.strip, "MY PANEL")
    count = _asked("How many holes has it?", count_answered)
    parts: list[Guess] = []
    if count:
        click.echo("What is in each hole, and its name on the panel? Such as: knob EXPOSURE")
    for number in range(1, count + 1):
        read = partial(part_answered, taken=[part.id for part in parts])
        parts.append(_asked(f"Hole {number}", read))
    return Answers(unit, title, size, tuple(parts))


def _asked(question: str, read: Callable[[str], _T], default: str | None = None) -> _T:
    """The answer to a question as it was read; asked again until it will do."""
    while True:
        text: str = click.prompt(question, default=default, show_default=bool(default), type=str)
        try:
            return read(text)
        except ValueError as error:
            click.echo(str(error), err=True)
