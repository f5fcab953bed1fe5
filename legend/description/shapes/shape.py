"""Define what every hole shape must know, and register the shapes for all later rooms.

The shapes themselves are in `legend.description.shapes.hole_shapes`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields
from typing import Any, ClassVar, TypeVar, cast, get_type_hints

from pydantic import create_model

from legend.description.shapes.edge import Edge
from legend.description.table import Clash
from legend.vector import Vector

#: How a length is said, in the units of the description.
Saying = Callable[[float], str]


class Shape:
    """What a hole looks like, and what is made of that; this base has what most shapes share.

    Its edge lies about the point that is given as `at`, before it is turned by its `angle`.

    `holds` says in a fault what stands under the first key. `usual` is the kind of control that
    is most often fitted in a hole of this shape, where its diameter does not tell it.
    """

    holds: ClassVar[str]
    usual: ClassVar[str] = "window"

    @property
    def edge(self) -> Edge:
        """Its edge."""
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
    def punched(self) -> tuple[Vector, ...]:
        """Where it is begun with a punch: where its corners are drilled."""
        return tuple(arc.centre for arc in self.edge.arcs)

    def cover(self, factor: float, extra: float) -> Edge:
        """What a part of a kind hides, where nobody says it: the opening, and so much more."""
        if self.diameter is not None:
            return Edge.circle(self.diameter * factor + extra)
        (x0, y0, x1, y1), radius = self.edge.box, self.corner_radius
        cover = Edge.rectangle(x1 - x0 + extra, y1 - y0 + extra, radius)
        return cover.moved((x0 + x1) / 2, (y0 + y1) / 2)

    def plug(self, least: float) -> Edge:
        """What is cut to drop into it, before its gap: the edge without what is finer than so."""
        return self.edge

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
