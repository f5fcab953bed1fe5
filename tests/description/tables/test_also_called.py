from __future__ import annotations

from legend.description.reading.explaining.strange_keys import _tables
from legend.description.tables.keys import keys_of


def test_what_is_written_by_mistake_is_told_a_key_that_its_table_has() -> None:
    wrong = [
        (called, word, key)
        for called, table in _tables()
        for word, key in {**table.also_called, **table.renamed}.items()
        if key not in keys_of(table)
    ]
    assert not wrong
