"""Descriptions made in the test itself, without a file."""

from collections.abc import Callable
from typing import Any

import pytest

from legend.description.tables.description import Description

Describe = Callable[..., Description]


@pytest.fixture
def describe() -> Describe:
    """A description of a panel of 200 x 100 mm, with these tables over the usual ones."""

    def make(**tables: Any) -> Description:
        raw: dict[str, Any] = {"panel": {"size": [200, 100]}} | tables
        units = raw.get("units", "mm")
        description = Description.model_validate(raw, context={"units": units})
        return description.with_banks_set_out().after_drilling()

    return make
