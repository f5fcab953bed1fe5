"""The [stencil] table: what goes together, and what of the stock is left for cuts."""

from __future__ import annotations

import jsonschema
import pytest
from pydantic import ValidationError

from legend.description.tables.description import Stencil
from legend.handbook.json_schema import json_schema


@pytest.mark.parametrize("registration", ["cross", "none"])
def test_a_sheet_always_has_its_holes_plain(registration: str) -> None:
    sheet = {"method": "paint-through", "stock": "sheet", "registration": registration}
    with pytest.raises(ValidationError, match="bolted on through its holes"):
        Stencil.model_validate(sheet)
    validator = jsonschema.Draft202012Validator(json_schema())
    panel = {"panel": {"size": [100, 50]}}
    assert list(validator.iter_errors(panel | {"stencil": sheet}))
    for sound in ({"registration": registration}, sheet | {"registration": "plain"}):
        assert Stencil.model_validate(sound)
        assert not list(validator.iter_errors(panel | {"stencil": sound}))


def test_there_are_cuts_on_the_stock_but_for_its_margin() -> None:
    assert Stencil(stock_size=(300, 200)).room == (299, 199)
    assert Stencil(stock_size=(300, 200), stock_margin=5).room == (290, 190)


def test_what_is_cut_twice_is_lead_in_and_overrun() -> None:
    assert Stencil().overlap == 0
    assert Stencil(lead_in=0.5, overrun=0.25).overlap == 0.75
