"""Run `legend faces`: list the faces at hand, or write a specimen of one or of the symbols."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path

import click

from legend.commands.exit_status import leave
from legend.commands.options import DPI, REPLACE, out_option, refuse_other_endings
from legend.failures import NOT_DONE

#: What the symbols are called where a face is named.
_SYMBOLS = "symbols"


@click.command()
@click.argument("names", nargs=-1, metavar="[NAME]...")
@out_option("The specimen to write of one NAME, .svg or .png.")
@DPI
@REPLACE
def faces(names: tuple[str, ...], out: Path | None, dpi: float | None, replace: bool) -> None:
    """List the faces at hand, or write a specimen, or that of symbols.

    The list tells how fine each is to cut.

    NAME is what a description may say for a face: "plain", a font file, or the family of an
    installed font. Without a NAME, the built-in face and all installed families are listed.
    Of "symbols" the specimen has every symbol, in its group, over its name.
    """
    if out is None and names == (_SYMBOLS,):
        raise click.UsageError(
            f"The specimen of the symbols wants a file: legend faces {_SYMBOLS} --out "
            "symbols.svg. The handbook lists them: legend handbook description."
        )
    if out:
        _specimen(names, out, dpi, replace)
        return
    from legend.drawing.specimens.face_list import damaged_files, faces_at_hand, in_a_table, listed

    wanted = names or faces_at_hand()
    bar: AbstractContextManager[Iterable[str]] = nullcontext(wanted)
    if sys.stderr.isatty():
        bar = click.progressbar(wanted, label="Measuring", file=sys.stderr)
    with bar as measuring:
        found = [listed(name, Path()) for name in measuring]
    for line in in_a_table(found):
        click.echo(line)
    faults = [face.fault for face in found if face.fault]
    for line in [*faults, *(() if names else damaged_files())]:
        click.echo(line, err=True)
    if names and faults:
        leave(NOT_DONE)


def _specimen(names: Sequence[str], out: Path, dpi: float | None, replace: bool) -> None:
    from legend.drawing.picture import USUAL_DPI
    from legend.drawing.specimens.specimen import specimen_file
    from legend.drawing.specimens.symbol_specimen import symbol_specimen_file
    from legend.lettering.faces.face import FaceError
    from legend.lettering.faces.finding import load_face
    from legend.writing import write_whole

    if len(names) != 1:
        raise click.UsageError("A specimen shows one face; name it, as in: legend faces plain.")
    refuse_other_endings(out, ".svg", ".png")
    dpi = dpi or USUAL_DPI
    try:
        if names[0] == _SYMBOLS:
            data = symbol_specimen_file(out.suffix, dpi)
        else:
            data = specimen_file(load_face(names[0], Path()), out.suffix, dpi)
    except FaceError as error:
        raise click.BadParameter(str(error), param_hint="NAME") from None
    click.echo(write_whole(out, data, replace))
