"""Parse the command line, call the command it names, and set the exit status.

What goes wrong reaches the user as plain sentences on the standard error, and as the exit
status. The commands themselves are in `legend.commands`.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import click

from legend.commands.card import card
from legend.commands.check import check
from legend.commands.coupon import coupon
from legend.commands.cut import cut
from legend.commands.exit_status import STOPPED
from legend.commands.faces import faces
from legend.commands.handbook import handbook
from legend.commands.make import make
from legend.commands.measure import measure
from legend.commands.new import new
from legend.commands.overlay import overlay
from legend.commands.page import page
from legend.commands.placed import placed
from legend.commands.progress import progress_told
from legend.commands.proof import proof
from legend.commands.schema import schema
from legend.commands.target import target
from legend.failures import INTERRUPTED, NOT_DONE, in_plain_words


class Plainly(click.Group):
    """A group of commands whose failures are told in plain sentences."""

    def make_context(self, *arguments: Any, **more: Any) -> click.Context:
        """Read the words of the call; where they ask for help, it is given here."""
        with _plainly():
            return super().make_context(*arguments, **more)

    def invoke(self, context: click.Context) -> Any:
        """Run the command, and exit with the status that fits what comes of it."""
        with _plainly(), progress_told():
            return super().invoke(context)


@contextmanager
def _plainly() -> Iterator[None]:
    """Whatever fails is told in plain sentences, and by the exit status."""
    try:
        yield
    except (click.ClickException, click.exceptions.Exit, click.Abort):
        raise
    except KeyboardInterrupt:
        click.echo(INTERRUPTED, err=True)
        raise click.exceptions.Exit(STOPPED) from None
    except BrokenPipeError:  # whoever reads the output has gone
        sys.stdout = None
        raise click.exceptions.Exit(NOT_DONE) from None
    except Exception as error:
        if sys.flags.dev_mode:
            raise
        click.echo(in_plain_words(error), err=True)
        raise click.exceptions.Exit(NOT_DONE) from None


@click.group(cls=Plainly, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="legend", message="legend %(version)s")
def legend() -> None:
    """Legends for a hand-built panel: stencils, overlay, proof and job card.

    PANEL is a description in TOML: the panel, its holes as drilled, what is fitted in them
    and what the legends say. "legend new" writes one to begin with, and "legend make" makes
    everything from it.

    Exit status: 0 done; 1 done, and the artwork has errors; 2 the description could not be
    read, or something could not be written or told; 130 or 143 interrupted, by Ctrl-C or by
    the system. Files are written all together, or not at all.
    """


for command in (
    card,
    check,
    coupon,
    cut,
    faces,
    handbook,
    make,
    measure,
    new,
    overlay,
    page,
    placed,
    proof,
    schema,
    target,
):
    legend.add_command(command)
