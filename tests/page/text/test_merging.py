"""Two texts that grew out of one keep what both changed, or are left to the user."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.page.text.merging import merged

#: What happens to each line: it stays, goes, is changed, or has another put before it.
_DEEDS = st.sampled_from(["keep"] * 6 + ["drop", "change", "insert"])
_WAYS = st.integers(0, 12).flatmap(
    lambda n: st.tuples(
        st.lists(_DEEDS, min_size=n, max_size=n), st.lists(_DEEDS, min_size=n, max_size=n)
    )
)


def _done(deeds: list[str], mark: str) -> str:
    """The lines line-0, line-1 and so on, after what one side does to them."""
    said = []
    for number, deed in enumerate(deeds):
        if deed in ("change", "insert"):
            said.append(f"{mark}-{number}")
        if deed in ("keep", "insert"):
            said.append(f"line-{number}")
    return "".join(f"{line}\n" for line in said)


@given(_WAYS)
def test_nothing_typed_is_lost_and_the_order_stays(ways: tuple[list[str], list[str]]) -> None:
    ours, theirs = (_done(deeds, mark) for deeds, mark in zip(ways, ("our", "their"), strict=True))
    both = merged(_done(["keep"] * len(ways[0]), ""), ours, theirs)
    if both is None:
        return
    lines = both.splitlines()
    assert len(set(lines)) == len(lines)
    typed = {line for text in (ours, theirs) for line in text.splitlines()} - {
        f"line-{k}" for k in range(len(ways[0]))
    }
    assert typed <= set(lines)
    numbers = [int(line.partition("-")[2]) for line in lines if line.startswith("line")]
    assert numbers == sorted(numbers)
    gone = {k for k in range(len(ways[0])) if {"drop", "change"} & {ways[0][k], ways[1][k]}}
    assert set(numbers) == set(range(len(ways[0]))) - gone


@given(_WAYS)
def test_what_is_done_to_lines_apart_is_always_done(ways: tuple[list[str], list[str]]) -> None:
    ours = [deed if k % 4 == 0 else "keep" for k, deed in enumerate(ways[0])]
    theirs = [deed if k % 4 == 2 else "keep" for k, deed in enumerate(ways[1])]
    expected = "".join(
        _line(k, *((deed, "our") if k % 4 == 0 else (other, "their")))
        for k, (deed, other) in enumerate(zip(ours, theirs, strict=True))
    )
    base = _done(["keep"] * len(ours), "")
    assert merged(base, _done(ours, "our"), _done(theirs, "their")) == expected


def _line(number: int, deed: str, mark: str) -> str:
    said = f"{mark}-{number}\n" if deed in ("change", "insert") else ""
    return said + (f"line-{number}\n" if deed in ("keep", "insert") else "")


@given(st.text("ab \n"), st.text("ab \n"), st.text("ab \n"))
def test_either_may_be_the_first(base: str, ours: str, theirs: str) -> None:
    assert merged(base, ours, theirs) == merged(base, theirs, ours)
    assert merged(base, base, theirs) == theirs
    assert merged(base, theirs, theirs) == theirs


@pytest.mark.parametrize(
    ("base", "ours", "theirs", "both"),
    [
        ("a\nb\n", "A\nb\n", "a\nB\n", "A\nB\n"),  # lines that touch
        ("covers = 22", "covers = 24", "covers = 32", None),  # one number, not 34
        ("at = 1.5", "at = 2.5", "at = 1.8", None),
        ("a = 1 # x", "a = 2 # x", "a = 1 # y", "a = 2 # y"),
        ("a\nb\nc\n", "a\nc\n", "a\nB\nc\n", None),  # dropped by one, changed by the other
        ("a\nb\nc\n", "a\n", "a\nc\n", "a\n"),  # dropped by both
        ("a\n", "a\nours\n", "a\ntheirs\n", None),  # both at one place: in which order?
        ("n = ", 'n = "TI', 'n = "TIME"', 'n = "TIME"'),  # typed on, since it was sent
        ("", "x", "y", None),
        ("a", "", "", ""),
        ("a\nb", "a\nb\n", "a\nb", "a\nb\n"),
    ],
)
def test_by_hand(base: str, ours: str, theirs: str, both: str | None) -> None:
    assert merged(base, ours, theirs) == both


def test_very_long_texts_take_no_hours() -> None:
    base = "".join(f"a{k}\n" for k in range(4000))
    other = "".join(f"b{k}\n" for k in range(4000))
    assert merged(base, other, base + "more\n") == other + "more\n"
