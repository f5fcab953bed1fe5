"""The commands: words on the command line in, files and a short account out.

Each command imports what it needs when it is called, so that `legend check` does not pay
for paper and paint. What goes wrong reaches the user as plain sentences on the standard
error, and as the exit status.
"""

from __future__ import annotations

import errno
import re
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

from legend.failures import PlainError
from legend.standards import PAPER

if TYPE_CHECKING:
    from datetime import datetime

    from legend.description.schema import Description
    from legend.description.source import Source
    from legend.drawing.paper import Paper
    from legend.layout.artwork import Artwork, Finding
    from legend.stencil.sheet import Sheet

#: Exit statuses: all is well; done, but the artwork has errors; not done; interrupted.
DONE, WITH_ERRORS, NOT_DONE, INTERRUPTED = 0, 1, 2, 130

#: What `legend make` writes besides the stencils and placement frames, and what each is.
MADE = {
    "overlay.pdf": "true-scale overlay, to print at actual size",
    "proof.png": "the finished panel",
    "proof.svg": "the same as a drawing in mm",
    "job-card.html": "the work in order, to print",
    "findings.json": "what was found, for other programs",
}
FRAME = "placement-frame.svg"

#: What the panel may be shown as; those of `legend.drawing.layers`, which is heavy to import.
STAGES = ("base", "masked", "top", "finished", "fitted")


class Plainly(click.Group):
    """A group of commands whose failures are told in plain sentences."""

    def invoke(self, context: click.Context) -> Any:
        """Run the command, and exit with the status that fits what comes of it."""
        try:
            return super().invoke(context)
        except (click.ClickException, click.exceptions.Exit, click.Abort):
            raise
        except KeyboardInterrupt:
            click.echo("Interrupted; no file is left half-written.", err=True)
            context.exit(INTERRUPTED)
        except BrokenPipeError:  # whoever reads the output has gone
            sys.stdout = None
            context.exit(NOT_DONE)
        except Exception as error:
            if sys.flags.dev_mode:
                raise
            click.echo(_plain(error), err=True)
            context.exit(NOT_DONE)


def _plain(error: Exception) -> str:
    """What went wrong, as the user is told it."""
    if isinstance(error, PlainError):
        return str(error)
    if isinstance(error, OSError):
        return _plain_system(error)
    if isinstance(error, MemoryError):
        return "There is not enough memory for this panel; a smaller picture (--dpi) may do."
    return (
        f"The program failed at something its makers did not foresee ({type(error).__name__}: "
        f"{error}). No file is left half-written. Please report it, with the description."
    )


def _plain_system(error: OSError) -> str:
    """What the system refused, and why."""
    what = str(error.filename2 or error.filename or "A file")
    why = {
        errno.ENOSPC: "there is no room left on the disk",
        errno.EDQUOT: "your share of the disk is full",
        errno.EROFS: "the disk can only be read",
        errno.EACCES: "you may not write there",
        errno.EPERM: "you may not write there",
        errno.ENOTDIR: "a file stands where a folder is needed",
        errno.EEXIST: "a file stands where a folder is needed",
        errno.EISDIR: "a folder stands where the file would go",
        errno.ENAMETOOLONG: "its name is too long",
    }.get(error.errno or 0, (error.strerror or str(error)).lower())
    return f"{what} cannot be written: {why}."


_Command = TypeVar("_Command", bound=Callable[..., Any])

_PANEL = click.argument("panel", type=click.Path(path_type=Path))


def _out(what: str) -> Callable[[_Command], _Command]:
    return click.option("--out", type=click.Path(path_type=Path), help=what)


def _paper(what: str) -> Callable[[_Command], _Command]:
    return click.option("--paper", default="A4", show_default=True, callback=_size, help=what)


def _size(_context: click.Context, _option: click.Parameter, written: str) -> Paper:
    """A paper by its name, or by its width and height in mm."""
    found = re.fullmatch(r"(\d{1,5}(?:\.\d+)?)\s*[x×]\s*(\d{1,5}(?:\.\d+)?)", written)
    if found:
        return float(found[1]), float(found[2])
    by_low = {name.lower(): name for name in PAPER}
    if written.lower() not in by_low:
        raise click.BadParameter(f"{written} is no paper; say {', '.join(PAPER)}, or 297x420.")
    return by_low[written.lower()]


_VERBOSE = click.option("-v", "--verbose", is_flag=True, help="Show the notes as well.")


@click.group(cls=Plainly, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="legend", message="legend %(version)s")
def legend() -> None:
    """Legends for a hand-built panel: stencils, overlay, proof and job card.

    PANEL is a description in TOML: the panel, its holes as drilled, what is fitted in them
    and what the legends say. "legend new" writes one to begin with, and "legend make" makes
    everything from it.

    Exit status: 0 done; 1 done, and the artwork has errors; 2 the description could not be
    read, or something could not be written.
    """


@legend.command()
@click.option(
    "--from",
    "hole_list",
    type=click.Path(path_type=Path),
    help="A hole list (CSV with the columns id, x, y, drill) to make it from.",
)
@click.option(
    "--units",
    type=click.Choice(["mm", "in"]),
    default="mm",
    show_default=True,
    help="Of the bare numbers in the hole list.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default="panel.toml",
    show_default=True,
    help="The file to write; it must not exist yet.",
)
def new(hole_list: Path | None, units: str, out: Path) -> None:
    """Write a description to begin with, its comments telling what else there is.

    With --from it is made for the holes of a list, guessing from names, notes and diameters
    what is fitted in each.
    """
    from legend.description.starting import starter, starter_for

    text = starter_for(hole_list, out, units) if hole_list else starter()
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        with out.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        raise PlainError(
            f"{out} is there already and is left as it is; name another file with --out."
        ) from None
    click.echo(f"{out} is written; next: legend make {out}")


@legend.command()
@_PANEL
@click.option("--json", "as_json", is_flag=True, help="Print the findings as JSON.")
@click.option("--strict", is_flag=True, help="Exit with status 1 for warnings too.")
@_VERBOSE
def check(panel: Path, as_json: bool, strict: bool, verbose: bool) -> None:
    """Lay the legends out and tell what would spoil the panel, without writing anything."""
    from legend import account
    from legend.description.cautions import cautions

    description, artwork = _artwork(panel)
    findings = _findings(artwork)
    if as_json:
        from legend.drawing.findings_json import findings_text

        click.echo(findings_text(findings), nl=False)
    else:
        for line in account.of_findings(findings, verbose):
            click.echo(line)
        click.echo("\nCautions:")
        for caution in cautions(description):
            click.echo(f"  {caution}")
    _leave(findings, strict)


@legend.command()
@_PANEL
@_out("The folder to write to.  [default: one named after PANEL]")
@_VERBOSE
def cut(panel: Path, out: Path | None, verbose: bool) -> None:
    """Write the stencils: SVG for the cutter, in mm, one file for each length of stock."""
    from legend.drawing.stencil_svg import write_stencils

    _, artwork = _artwork(panel)
    sheets, findings = _cut(artwork)
    for path in write_stencils(sheets, artwork, out or _folder(panel)):
        click.echo(path)
    _tell(findings, verbose)


@legend.command()
@_PANEL
@_out("The file to write.  [default: overlay.pdf in a folder named after PANEL]")
@_paper("A4, A3, letter, or width and height in mm, such as 297x420.")
@click.option(
    "--correction",
    type=(float, float),
    default=(0.0, 0.0),
    metavar="ACROSS UP",
    help="Per cent to add: 0.5 where a 100 mm bar is printed 99.5 mm long.",
)
@click.option("--mirrored", is_flag=True, help="For film that is printed on its underside.")
@_VERBOSE
def overlay(
    panel: Path,
    out: Path | None,
    paper: Paper,
    correction: tuple[float, float],
    mirrored: bool,
    verbose: bool,
) -> None:
    """Write the true-scale overlay: a PDF to place the pieces by."""
    from legend.drawing.overlay import write_overlay

    _, artwork = _artwork(panel)
    sheets, findings = _cut(artwork)
    path = _file(out, panel, "overlay.pdf")
    with _paper_in_question():
        write_overlay(artwork, sheets, path, paper, correction, mirrored)
    click.echo(path)
    _tell(findings, verbose)


@legend.command()
@_PANEL
@_out("The file to write, .png or .svg.  [default: proof.png in a folder named after PANEL]")
@click.option(
    "--stage",
    type=click.Choice(STAGES),
    default="finished",
    show_default=True,
    help="How far the work has come (.png only).",
)
@click.option(
    "--dpi",
    type=click.FloatRange(10, 2400),
    default=300,
    show_default=True,
    help="Dots to the inch (.png only).",
)
@_VERBOSE
def proof(panel: Path, out: Path | None, stage: str, dpi: float, verbose: bool) -> None:
    """Write a picture of the panel as it will be, or a drawing of it to zoom into."""
    path = _file(out, panel, "proof.png")
    _, artwork = _artwork(panel)
    if path.suffix.lower() == ".svg":
        from legend.drawing.proof_svg import write_proof_svg

        findings = _findings(artwork)
        write_proof_svg(artwork, path)
    else:
        from legend.drawing.proof import write_proof

        sheets, findings = _cut(artwork)
        write_proof(artwork, sheets, path, stage, dpi)  # type: ignore[arg-type]
    click.echo(path)
    _tell(findings, verbose)


@legend.command()
@_PANEL
@_out("The file to write.  [default: job-card.html in a folder named after PANEL]")
@click.option(
    "--start",
    type=click.DateTime(["%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M"]),
    help='When the work begins, as "2031-05-01 09:00"; left out, hours are counted from 0.',
)
@_VERBOSE
def card(panel: Path, out: Path | None, start: datetime | None, verbose: bool) -> None:
    """Write the job card: the work in order, pieces, weeding, stock and cautions."""
    from legend.drawing.job_card import write_card

    _, artwork = _artwork(panel)
    sheets, findings = _cut(artwork)
    path = _file(out, panel, "job-card.html")
    write_card(artwork, sheets, findings, path, start)
    click.echo(path)
    _tell(findings, verbose)


@legend.command()
@_PANEL
@_out("The folder to write to.  [default: one named after PANEL]")
@_paper("Of the overlay: A4, A3, letter, or width and height in mm, such as 297x420.")
@_VERBOSE
def make(panel: Path, out: Path | None, paper: Paper, verbose: bool) -> None:
    """Make everything: stencils, overlay, placement frame, proofs, job card and findings."""
    from legend import account
    from legend.drawing.findings_json import write_findings
    from legend.drawing.job_card import write_card
    from legend.drawing.overlay import write_overlay
    from legend.drawing.placement_frame import write_placement_frames
    from legend.drawing.proof import write_proof
    from legend.drawing.proof_svg import write_proof_svg
    from legend.drawing.stencil_svg import write_stencils
    from legend.drawing.writing import refuse_foreign

    description, artwork = _artwork(panel)
    sheets, findings = _cut(artwork)
    folder = out or _folder(panel)
    names = [f"stencil-{sheet.number}.svg" for sheet in sheets]
    for name in (*names, FRAME, *MADE):
        refuse_foreign(folder / name)
    with _paper_in_question():
        write_overlay(artwork, sheets, folder / "overlay.pdf", paper)
    stencils = write_stencils(sheets, artwork, folder)
    frames = write_placement_frames(artwork, sheets, folder / FRAME)
    write_proof(artwork, sheets, folder / "proof.png")
    write_proof_svg(artwork, folder / "proof.svg")
    write_card(artwork, sheets, findings, folder / "job-card.html")
    write_findings(findings, folder / "findings.json")
    files = [
        *zip(
            stencils, (account.of_sheet(sheet, description.units) for sheet in sheets), strict=True
        ),
        *((path, "card with a window for every piece") for path in frames),
        *((folder / name, what) for name, what in MADE.items()),
    ]
    for line in (*account.of_panel(artwork, sheets), *account.of_files(folder, files), ""):
        click.echo(line)
    for line in account.of_findings(findings, verbose):
        click.echo(line)
    click.echo("The cautions are on the job card.")
    _leave(findings)


@legend.command()
@click.argument("names", nargs=-1, metavar="[NAME]...")
@_out("The specimen to write of one NAME, .svg or .png.")
@click.option(
    "--dpi",
    type=click.FloatRange(10, 2400),
    default=300,
    show_default=True,
    help="Dots to the inch (.png only).",
)
def faces(names: tuple[str, ...], out: Path | None, dpi: float) -> None:
    """List the faces at hand, and how fine each is to cut, or write the specimen of one.

    NAME is what a description may say for a face: "plain", a font file, or the family of an
    installed font. Without a NAME, the built-in face and all installed families are listed.
    """
    if out:
        _specimen(names, out, dpi)
        return
    from legend.drawing.face_list import damaged_files, faces_at_hand, list_of, listed

    wanted = names or faces_at_hand()
    bar: AbstractContextManager[Iterable[str]] = nullcontext(wanted)
    if sys.stderr.isatty():
        bar = click.progressbar(wanted, label="Measuring", file=sys.stderr)
    with bar as measuring:
        found = [listed(name, Path()) for name in measuring]
    for line in list_of(found, () if names else damaged_files()):
        click.echo(line)
    if names and any(face.fault for face in found):
        click.get_current_context().exit(NOT_DONE)


def _specimen(names: Sequence[str], out: Path, dpi: float) -> None:
    from legend.drawing.specimen import write_specimen
    from legend.lettering.face import FaceError
    from legend.lettering.faces import load_face

    if len(names) != 1:
        raise click.UsageError("A specimen shows one face; name it, as in: legend faces plain.")
    if out.suffix.lower() not in (".svg", ".png"):
        raise click.BadParameter(f"{out} ends neither in .svg nor in .png.", param_hint="--out")
    try:
        click.echo(write_specimen(load_face(names[0], Path()), out, dpi))
    except FaceError as error:
        raise click.BadParameter(str(error), param_hint="NAME") from None


@contextmanager
def _paper_in_question() -> Iterator[None]:
    """Tell of a paper that will not do as of a wrong call."""
    try:
        yield
    except ValueError as error:
        raise click.BadParameter(str(error), param_hint="--paper") from None


def _artwork(panel: Path) -> tuple[Description, Artwork]:
    from legend.description.faults import DescriptionError, Fault
    from legend.description.reading import read
    from legend.layout import lay_out
    from legend.lettering.face import FaceError

    description = read(panel)
    try:
        return description, lay_out(description)
    except FaceError as error:
        raise DescriptionError([Fault(_where_asked(description, str(error)), str(error))]) from None


def _where_asked(description: Description, what: str) -> Source:
    """Where the face is asked for that a failure to read it is about."""
    from legend.description.schema import LETTERED_ROLES, RoleLettering

    lettering = description.lettering
    tables: list[RoleLettering] = [
        lettering,
        *(getattr(lettering, role) for role in LETTERED_ROLES),
    ]
    asking = [table for table in tables if table.face]
    named = [table for table in asking if Path(str(table.face)).name in what]
    return next((table.source_of("face") for table in (*named, *asking)), description.source)


def _findings(artwork: Artwork, sheets: Sequence[Sheet] = ()) -> list[Finding]:
    """All that was found, errors first."""
    from legend.layout import inspect
    from legend.layout.artwork import Severity

    order = list(Severity)
    found = [*inspect(artwork), *(finding for sheet in sheets for finding in sheet.findings)]
    return sorted(found, key=lambda finding: order.index(finding.severity))


def _cut(artwork: Artwork) -> tuple[tuple[Sheet, ...], list[Finding]]:
    from legend.stencil import cut

    sheets = cut(artwork)
    return sheets, _findings(artwork, sheets)


def _folder(panel: Path) -> Path:
    """The folder beside a description that takes what is made of it."""
    return panel.with_suffix("") if panel.suffix else panel.with_name(f"{panel.name}-artwork")


def _file(out: Path | None, panel: Path, name: str) -> Path:
    """The file to write: as asked for, in the folder that was asked for, or in the usual one."""
    if out is None:
        return _folder(panel) / name
    return out / name if out.is_dir() else out


def _tell(findings: Sequence[Finding], verbose: bool) -> NoReturn:
    """Tell what was found on the standard error, and leave."""
    from legend import account

    for line in account.of_findings(findings, verbose):
        click.echo(line, err=True)
    _leave(findings)


def _leave(findings: Sequence[Finding], strict: bool = False) -> NoReturn:
    bad = {"error", "warning"} if strict else {"error"}
    found = any(finding.severity in bad for finding in findings)
    click.get_current_context().exit(WITH_ERRORS if found else DONE)
