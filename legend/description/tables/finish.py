"""Define the [finish] table: the paints of the base coat and the top coat."""

from collections.abc import Mapping
from typing import ClassVar

from pydantic import Field

from legend.description.table import Table, words_for
from legend.description.values.paint_values import Paint
from legend.description.values.text_values import SomeWords


class Finish(Table):
    """Colours: the base coat, and the top coat that is sprayed last."""

    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "base": "letters_colour lettering_colour primer undercoat",
            "top": "colour color paint panel background finish",
            "clear": "clearcoat lacquer varnish",
        }
    )

    base_: Paint = Field(default="white", alias="base")
    """The base coat, which goes on first: with lift-off the colour of the letters, with
    paint-through that of the panel. As a table it also says what the paint is called, for the job
    card."""
    top_: Paint = Field(default="#5b6160", alias="top")
    """The top coat, which goes on last: with lift-off the colour of the panel, with paint-through
    that of the letters. It too may say what the paint is called."""

    clear: SomeWords = "none"
    """What the clear coat over all is called, such as "matt lacquer", for the job card; "none"
    where there is none."""

    @property
    def base(self) -> str:
        """The colour of the base coat."""
        return self.base_ if isinstance(self.base_, str) else self.base_.colour

    @property
    def top(self) -> str:
        """The colour of the top coat."""
        return self.top_ if isinstance(self.top_, str) else self.top_.colour

    @property
    def base_called(self) -> str:
        """What the paint of the base coat is called: by its name, or by its colour."""
        return self.base_ if isinstance(self.base_, str) else self.base_.called

    @property
    def top_called(self) -> str:
        """What the paint of the top coat is called: by its name, or by its colour."""
        return self.top_ if isinstance(self.top_, str) else self.top_.called

    @property
    def has_clear(self) -> bool:
        """Whether a clear coat goes over all at the end."""
        return self.clear.strip().lower() not in ("", "none")
