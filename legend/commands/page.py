"""Run `legend page`: open the live page of a description in the user's browser."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import click

from legend.failures import PlainError
from legend.sentences import listed, printable

#: What the page takes that is not installed otherwise.
_TAKEN = ("starlette", "uvicorn", "watchfiles", "websockets")


@click.command()
@click.argument("panel", required=False, type=click.Path(path_type=Path))
@click.option("--address-only", is_flag=True, help="Print the address, and open no browser.")
@click.option(
    "--port",
    type=click.IntRange(1024, 65535),
    help="Where on this computer the page is served.  [default: the same each time, if it is free]",
)
def page(panel: Path | None, address_only: bool, port: int | None) -> None:
    """Open a panel in the browser, and write it there.

    The page shows the panel as it will be painted, under it the description, and what was found
    and will be cut, anew with every letter typed. It is served to this computer alone. Without
    PANEL, or with one that does not exist, a new one is begun; nothing is written before it is
    saved. Ctrl-C ends it. What is not saved by then is offered when it is opened again.
    """
    if missing():
        raise PlainError(
            f"The page takes the libraries {listed(_TAKEN)}; install them with "
            "pip install '.[page]'."
        )
    from legend.page.server import serve
    from legend.starting.starter import starter

    panel = panel or _free_name()
    if panel.is_dir():
        raise PlainError(f"{panel} is a folder; name the description in it.")
    if not panel.absolute().parent.is_dir():
        raise PlainError(f"There is no folder {panel.parent} for {panel.name} to be in.")

    def began(address: str) -> None:
        click.echo(f"{printable(str(panel))} is open at {address}")
        click.echo("Ctrl-C ends it.", err=True)
        if not address_only:
            _show(address)

    def ended(not_kept: str | None) -> None:
        if not_kept is None:
            return
        name = printable(str(panel))
        how = f"legend page {name} offers what you typed."
        if not_kept:
            how = f"copy what you typed out of the page, which still has it. {not_kept}"
        click.echo(f"{name} is not saved; {how}", err=True)

    serve(panel, starter(), port, began, ended)


def missing() -> list[str]:
    """The libraries that the page takes and that are not installed."""
    return [name for name in _TAKEN if find_spec(name) is None]


def _free_name() -> Path:
    """The first name for a new description in this folder that nothing there has."""
    number, name = 1, Path("panel.toml")
    while name.exists() or name.is_symlink():
        number += 1
        name = Path(f"panel-{number}.toml")
    return name


def _show(address: str) -> None:
    """Open the address in the user's browser, without waiting for it."""
    import os
    import threading
    import webbrowser

    try:
        browser = webbrowser.get()
    except webbrowser.Error:
        return
    # One of the terminal, which would take its place, only where it was asked for.
    if type(browser) is webbrowser.GenericBrowser and "BROWSER" not in os.environ:
        return
    threading.Thread(target=browser.open, args=(address,), daemon=True).start()
