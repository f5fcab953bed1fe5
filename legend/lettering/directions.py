"""Find the writing direction of a text, and the visual order of its runs.

The one place that touches python-bidi, which is imported only for a text that needs it.
"""

from __future__ import annotations

from itertools import groupby
from unicodedata import bidirectional

#: Bidirectional classes of characters that run leftwards, and of Arabic figures.
_LEFTWARDS = ("R", "AL", "AN")
#: Classes of characters that only steer others, and of those that mean nothing.
_UNDIRECTED = ("BN", "LRI", "RLI", "FSI", "PDI", "")


def reads_leftwards(text: str) -> bool:
    """Whether the first character that has a direction runs from right to left."""
    directions = (bidirectional(character) for character in text)
    return next((d for d in directions if d in ("L", "R", "AL")), "L") != "L"


def visual_runs(text: str) -> list[tuple[str, str]]:
    """Stretches of a line that run one way, from left to right as they stand: text and "ltr"
    or "rtl".

    By the bidirectional algorithm of Unicode Standard Annex 9: figures in a right-to-left text
    read rightwards.
    """
    if text.isascii() or not any(bidirectional(character) in _LEFTWARDS for character in text):
        return [(text, "ltr")]
    from bidi import algorithm  # type: ignore[import-untyped]

    storage = algorithm.get_empty_storage()
    base = algorithm.get_base_level(text)
    storage.update(base_level=base, base_dir="LR"[base])
    algorithm.get_embedding_levels(text, storage)
    kind = "ON"
    for each in storage["chars"]:
        # What has no direction of its own, such as a joiner, goes with what is before it.
        kind = each["type"] = kind if each["type"] in _UNDIRECTED else each["type"]
    algorithm.explicit_embed_and_overrides(storage)
    algorithm.resolve_weak_types(storage)
    algorithm.resolve_neutral_types(storage, False)
    algorithm.resolve_implicit_levels(storage, False)
    runs = [
        (level, "".join(each["ch"] for each in members))
        for level, members in groupby(storage["chars"], key=lambda each: each["level"])
    ]
    # Rule L2: from the highest level down, turn round whatever stands at it or above.
    for height in range(max(level for level, _ in runs), 0, -1):
        turned: list[tuple[int, str]] = []
        for is_high, stretch in groupby(runs, key=lambda run: run[0] >= height):
            members = list(stretch)
            turned += members[::-1] if is_high else members
        runs = turned
    return [(run, "rtl" if level % 2 else "ltr") for level, run in runs]
