"""Know every symbol there is, by its name and in its group."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from legend.lettering.symbols import danger, power, running, signals, surroundings
from legend.lettering.symbols.symbol import Group, Symbol

#: All symbols, in the order in which they are shown.
GROUPS: tuple[Group, ...] = (
    *power.GROUPS,
    *danger.GROUPS,
    *running.GROUPS,
    *signals.GROUPS,
    *surroundings.GROUPS,
)
#: Every symbol by its name.
SYMBOLS: Mapping[str, Symbol] = MappingProxyType(
    {name: symbol for group in GROUPS for name, symbol in group.symbols.items()}
)
