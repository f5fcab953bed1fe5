"""The shapes of holes: a registry that the schema, the layout, the stencil and the drawings read.

To add a shape, add one class here with `@shape`. Its fields are the keys that a hole of that
shape has in the description, the first of them the one that makes a hole that shape; under
each stands what it means. From there follow the checks, the words of faults, the JSON Schema
and the reference in the README; and, from its edge, what drops into a hole and what covers it.

An edge lies about the point that is given as `at`, before the hole is turned by its `angle`.

The module does without `from __future__ import annotations`: the types of keys are read from it.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields
from typing import Any, ClassVar, TypeVar, cast, get_type_hints

from pydantic import create_model

from legend.description.edge import Edge, Point
from legend.description.table import Clash
from legend.description.values import Length, Size, SlotSize, Width

#: How a length is said, in the units of the description.
Saying = Callable[[float], str]


class Shape:
    """What a hole looks like, and how it is cut; this base has what most shapes share.

    `holds` says in a fault what stands under the first key. `usual` is the kind of control that
    is most often fitted in a hole of this shape, where its diameter does not tell it.
    """

    holds: ClassVar[str]
    usual: ClassVar[str] = "window"

    @property
    def edge(self) -> Edge:
        """Its edge, with nothing left out."""
        raise NotImplementedError

    @property
    def size(self) -> tuple[float, float]:
        """Its width and height, mm."""
        return self.edge.size

    @property
    def corner_radius(self) -> float:
        """The radius of its corners, mm; 0 where they are sharp, or there are none."""
        return 0.0

    @property
    def diameter(self) -> float | None:
        """The diameter of what fits in it, mm, where that is round; None where it has sides."""
        return None

    def words(self, said: Saying) -> str:
        """Its size as a drawing says it: 40 × 18."""
        return " × ".join(map(said, self.size))

    @property
    def punched(self) -> tuple[Point, ...]:
        """Where it is begun with a punch: where its corners are drilled."""
        return tuple(arc.centre for arc in self.edge.arcs)

    def cover(self, factor: float, extra: float) -> Edge:
        """What a part of a kind hides, where nobody says it: the opening, and so much more."""
        if self.diameter is not None:
            return Edge.circle(self.diameter * factor + extra)
        width, height = self.size
        return Edge.rectangle(width + extra, height + extra)

    def unsound(self) -> Iterator[Clash]:
        """Sizes that do not suit each other."""
        return iter(())


#: Every shape by the key that makes a hole that shape.
SHAPES: dict[str, type[Shape]] = {}

_S = TypeVar("_S", bound=type[Shape])


def shape(cls: _S) -> _S:
    """Enter a shape in the registry under its first key."""
    SHAPES[keys_of_shape(cls)[0]] = cls
    return cls


def keys_of_shape(cls: type[Shape]) -> tuple[str, ...]:
    """The keys that a hole of this shape has, the one that makes it that first."""
    return tuple(field.name for field in fields(cls))  # type: ignore[arg-type]


def shapes_with(key: str) -> list[str]:
    """The shapes, by their first keys, that have this key as well."""
    return [first for first, cls in SHAPES.items() if key in keys_of_shape(cls)[1:]]


# --- The shapes ---


@shape
@dataclass(frozen=True, slots=True)
class Drilled(Shape):
    """A drilled hole."""

    drill: Length
    """The diameter of a drilled hole."""

    holds: ClassVar[str] = "a diameter"

    @property
    def edge(self) -> Edge:
        return Edge.circle(self.drill)

    @property
    def diameter(self) -> float:
        return self.drill

    def words(self, said: Saying) -> str:
        return f"Ø {said(self.drill)}"


def corners_too_round(radius: float, size: tuple[float, float]) -> Iterator[Clash]:
    """Corners that would meet."""
    if radius > min(size) / 2:
        yield (
            "corner_radius",
            f"has a corner_radius of {radius:g} mm, more than half of its shorter side; "
            f"it must be at most {min(size) / 2:g} mm",
        )


@shape
@dataclass(frozen=True, slots=True)
class CutOut(Shape):
    """A rectangular cut-out."""

    cutout: Size
    """The width and height of a cut-out."""
    corner_radius: Width = 0.0
    """The radius of the corners of a cut-out."""

    holds: ClassVar[str] = "[width, height]"

    @property
    def edge(self) -> Edge:
        return Edge.rectangle(*self.cutout, self.corner_radius)

    def cover(self, factor: float, extra: float) -> Edge:
        width, height = self.cutout
        return Edge.rectangle(width + extra, height + extra, self.corner_radius)

    def unsound(self) -> Iterator[Clash]:
        return corners_too_round(self.corner_radius, self.cutout)


@shape
@dataclass(frozen=True, slots=True)
class Slot(Shape):
    """A slot with round ends."""

    slot: SlotSize
    """The length and width of a slot with round ends, which lies level."""

    holds: ClassVar[str] = "[length, width]"
    usual: ClassVar[str] = "slide"

    @property
    def edge(self) -> Edge:
        length, width = self.slot
        return Edge.rectangle(length, width, width / 2)

    @property
    def punched(self) -> tuple[Point, ...]:
        length, width = self.slot
        reach = (length - width) / 2
        return (-reach, 0.0), (reach, 0.0)

    def unsound(self) -> Iterator[Clash]:
        if self.slot[0] < self.slot[1]:
            yield (
                "slot",
                "has a slot that is wider than it is long; write slot = [length, width] and turn "
                "it with angle = 90",
            )


# --- A table with their keys ---


def with_keys_of_shapes(table: Any) -> Any:
    """The table with the keys of every shape behind its own; each may be left out."""
    keys: dict[str, Any] = {}
    for key, default in left_out().items():
        of = next(cls for cls in SHAPES.values() if key in keys_of_shape(cls))
        kind = get_type_hints(of, include_extras=True)[key]
        keys[key] = (kind | None if key in SHAPES else kind, default)
    made = create_model(
        table.__name__, __base__=table, __doc__=table.__doc__, __module__=table.__module__, **keys
    )
    cast(Any, made).made_of = tuple(SHAPES.values())
    return made


def left_out() -> dict[str, Any]:
    """The keys of all shapes, with what holds where they are left out."""
    return {
        field.name: None if field.name in SHAPES else field.default
        for cls in SHAPES.values()
        for field in fields(cls)  # type: ignore[arg-type]
    }


def shapes_given(values: Mapping[str, Any]) -> list[Shape]:
    """The shapes that a hole with these values has: one, if all is well."""
    return [
        cls(**{key: values[key] for key in keys_of_shape(cls)})
        for first, cls in SHAPES.items()
        if values[first] is not None
    ]
