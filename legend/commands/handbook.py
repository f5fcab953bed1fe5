"""Run `legend handbook`: print a page of the handbook, or what it says of one name."""

from __future__ import annotations

import click

from legend.commands.exit_status import leave
from legend.failures import NOT_DONE


@click.command()
@click.argument("names", nargs=-1, metavar="[NAME]...")
@click.option("--open", "opened", is_flag=True, help="Open the page instead of printing it.")
def handbook(names: tuple[str, ...], opened: bool) -> None:
    """Print what a description may say, what is checked, or one entry.

    NAME is "description" or "checks" for that page; or a key, a table, a kind of control, a
    law of scales, a symbol or a check, such as "covers", "[stencil]", "knob", "log",
    "symbol:earth" or "off-panel". Without a NAME, the contents are printed.
    """
    from legend.handbook.pages import PAGES, page

    if opened:
        for name in names or ("description",):
            if name not in PAGES:
                pages = " or ".join(PAGES)
                raise click.UsageError(f"Only a whole page can be opened: {pages}.")
            click.launch(str(PAGES[name]))
    elif not names:
        _contents()
    elif len(names) == 1 and names[0] in PAGES:
        click.echo_via_pager(page(names[0]))
    else:
        _entries(names)


def _contents() -> None:
    from legend.handbook.pages import PAGES, sections

    for name, file in PAGES.items():
        click.echo(f"legend handbook {name}")
        click.echo(f"  {file}")
        for title in sections(name):
            click.echo(f"  - {title}")
        click.echo()
    click.echo("For one key, table, kind, law, symbol or check: legend handbook NAME.")


def _entries(names: tuple[str, ...]) -> None:
    from legend.handbook.entries import entries, nearest

    missing = False
    for name in names:
        found = entries(name)
        for entry in found:
            click.echo(f"{entry.name}: {entry.what}")
            for said in entry.says:
                click.echo(click.wrap_text(said.replace("`", ""), 78, "  ", "  "))
            click.echo()
        if not found:
            near = nearest(name)
            hint = f"; did you mean {near}?" if near else "."
            click.echo(f"The handbook has no entry called {name}{hint}", err=True)
            missing = True
    if missing:
        leave(NOT_DONE)
