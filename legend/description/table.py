"""Define the base of all tables of a description: validated, frozen, aware of its source.

A raw table goes in, with the sources of its keys under `SOURCES`; a value of the schema
comes out, or pydantic's error, which also holds what is wrong with the table as a whole.
"""

from collections.abc import Hashable, Iterable, Iterator, Mapping
from typing import Any, ClassVar, Self

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    ModelWrapValidatorHandler,
    SkipValidation,
    ValidationError,
    model_validator,
)
from pydantic_core import InitErrorDetails, PydanticCustomError

from legend.description.source import Source
from legend.length_words import WithLengths

#: The key under which reading hands each table the sources of its keys; "" is the table's own.
SOURCES = "@sources"

#: The type of the faults that a table as a whole has, among pydantic's own types.
CLASH = "clash"
#: A key of a table, and what is wrong with it, in words that go on from the table's name; "" for
#: the key where something is lacking.
Clash = tuple[str, str | WithLengths]


def words_for(keys: Mapping[str, str]) -> Mapping[str, str]:
    """The key for each word: of keys with the words, parted by spaces, that are written for them.

    >>> words_for({"size": "width height"})
    {'width': 'size', 'height': 'size'}
    """
    return {word: key for key, words in keys.items() for word in words.split()}


class Table(BaseModel):
    """A table of the description: frozen, no keys but its own, sources in hand."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=False)

    #: Keys of an earlier version, and what they are called now.
    renamed: ClassVar[Mapping[str, str]] = {}
    #: Other words for what the keys say, as they are written by mistake, and the right key.
    also_called: ClassVar[Mapping[str, str]] = {}
    #: The classes whose fields were made keys of the table, where it was made of such: under
    #: these stands what the keys mean.
    made_of: ClassVar[tuple[type, ...]] = ()

    @classmethod
    def meant_by(cls, word: str, _said: Mapping[str, Any]) -> str | None:
        """The key that another word is written for, in a table that says so much besides."""
        return cls.also_called.get(word)

    # Reading fills it in, no file can: it is taken as it is.
    sources: SkipValidation[Mapping[str, Source]] = Field(
        default_factory=dict, alias=SOURCES, repr=False
    )

    @property
    def source(self) -> Source:
        """Where the table begins."""
        return self.sources.get("", Source(""))

    def source_of(self, key: str) -> Source:
        """Where this key of the table is given, or the table itself where it is left out."""
        return self.sources.get(key, self.source)

    @property
    def content(self) -> Hashable:
        """All that it says, but not where: the same for tables that say the same."""
        said = (getattr(self, name) for name in type(self).model_fields if name != "sources")
        return tuple(map(_hashable, said))

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """Keys that do not suit each other, told from the table as it is written.

        Nothing is known yet of what the values are; so these are found even where some
        value of the table is at fault by itself.
        """
        return iter(())

    def unsound(self) -> Iterator[Clash]:
        """Values that do not suit each other, where each by itself is sound."""
        return iter(())

    @classmethod
    def _has_strange_keys(cls, given: Mapping[str, Any]) -> bool:
        return not given.keys() <= {f.alias or name for name, f in cls.model_fields.items()}

    @model_validator(mode="wrap")
    @classmethod
    def _sound_as_a_whole(cls, data: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        clashes = list(cls.clashes(data)) if isinstance(data, Mapping) else []
        if any(not key for key, _ in clashes) and cls._has_strange_keys(data):
            clashes = [clash for clash in clashes if clash[0]]  # what is lacking may be misspelt
        try:
            table = handler(data)
        except ValidationError as error:
            if not clashes:
                raise
            raise _with_clashes(cls, clashes, data, error) from None
        clashes += table.unsound()
        if clashes:
            raise _with_clashes(cls, clashes, data)
        return table


def _hashable(value: Any) -> Hashable:
    if isinstance(value, Table):
        return value.content
    if isinstance(value, Mapping):
        return tuple((key, _hashable(each)) for key, each in value.items())
    return tuple(map(_hashable, value)) if isinstance(value, (list, tuple)) else value


def _with_clashes(
    table: type[Table], clashes: Iterable[Clash], data: Any, error: ValidationError | None = None
) -> ValidationError:
    """What pydantic found, and the clashes of the table with it, as one of pydantic's errors."""
    details = [
        InitErrorDetails(
            type=PydanticCustomError(CLASH, "{what}", {"what": what}), loc=(key,), input=data
        )
        for key, what in clashes
    ]
    for each in error.errors(include_url=False) if error else ():
        known = each["type"] != CLASH
        details.append(
            InitErrorDetails(
                type=each["type"] if known else PydanticCustomError(CLASH, "{what}", each["ctx"]),
                loc=each["loc"],
                input=each["input"],
                ctx=each.get("ctx", {}),
            )
        )
    return ValidationError.from_exception_data(table.__name__, details)
