"""Run `legend schema`: print the JSON Schema of descriptions, for editors."""

from __future__ import annotations

from pathlib import Path

import click

from legend.commands.options import REPLACE, out_option, refuse_other_endings


@click.command()
@out_option("The file to write.  [default: the standard output]")
@REPLACE
def schema(out: Path | None, replace: bool) -> None:
    """Print what a description may say, as a JSON Schema.

    An editor that knows it completes and checks a description as you write.
    """
    from legend.handbook.json_schema import json_schema_text

    text = json_schema_text()
    if out is None:
        click.echo(text, nl=False)
        return
    from legend.writing import write_whole

    path = out / "legend.schema.json" if out.is_dir() else out
    refuse_other_endings(path, ".json")
    click.echo(write_whole(path, text.encode(), replace))
