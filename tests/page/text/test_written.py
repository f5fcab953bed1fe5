"""A file is shown with line feeds alone, and written as it was before."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.failures import PlainError
from legend.limits import LONGEST_FILE
from legend.page.text.written import NOTHING, Written, encoded, read_written

_MARK = "\ufeff".encode()
_LINES = st.lists(st.text("abc é\t=", max_size=5), min_size=1, max_size=8)


def _read(folder: Path, content: bytes) -> Written:
    file = folder / "panel.toml"
    file.write_bytes(content)
    return read_written(file)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("written")


@given(_LINES, st.sampled_from(["\n", "\r\n"]), st.booleans())
def test_what_is_not_changed_is_written_as_it_was(
    folder: Path, lines: list[str], end: str, marked: bool
) -> None:
    content = (_MARK if marked else b"") + end.join(lines).encode()
    written = _read(folder, content)
    assert written.text == "\n".join(lines)
    assert written.rewritten(written.text) == content


@given(_LINES, _LINES, st.sampled_from(["\n", "\r\n"]), st.booleans())
def test_another_text_has_its_line_ends_and_its_mark(
    folder: Path, lines: list[str], others: list[str], end: str, marked: bool
) -> None:
    content = (_MARK if marked else b"") + (end.join(lines) + end).encode()
    new = _read(folder, content).rewritten("\n".join(others))
    assert new == (_MARK if marked else b"") + end.join(others).encode()


@given(st.lists(st.sampled_from([b"a\n", b"b\r\n", b"c\r\n", b"d\n"]), min_size=2, max_size=9))
def test_ends_of_several_kinds_stay_where_the_lines_do(folder: Path, lines: list[bytes]) -> None:
    written = _read(folder, b"".join(lines))
    assert written.rewritten(written.text) == b"".join(lines)
    with_one_more = "x\n" + written.text
    assert written.rewritten(with_one_more).endswith(b"".join(lines))


def test_a_bare_carriage_return_is_no_end_of_a_line(folder: Path) -> None:
    written = _read(folder, b"a\rb\r\nc\r\n")
    assert written.text == "a\nb\nc\n"
    assert written.rewritten(written.text) == b"a\r\nb\r\nc\r\n"


def test_what_is_no_text_is_told_with_its_line(folder: Path) -> None:
    with pytest.raises(PlainError, match=r"line 2 on, panel\.toml is not UTF-8"):
        _read(folder, b"a\n\xff\n")
    with pytest.raises(PlainError, match="longer than 1 MB"):
        _read(folder, b"a" * (LONGEST_FILE + 1))


def test_half_a_character_is_told() -> None:
    with pytest.raises(PlainError, match="Line 2 holds half a character"):
        encoded("a\n\ud800")
    with pytest.raises(PlainError):
        NOTHING.rewritten("\udc00")


def test_nothing_is_written_that_could_not_be_read_again() -> None:
    for longest in ("a" * LONGEST_FILE, "a\n" * (LONGEST_FILE // 2)):
        assert len(NOTHING.rewritten(longest)) == len(encoded(longest)) == LONGEST_FILE
        for write in (NOTHING.rewritten, encoded):
            with pytest.raises(PlainError, match="longer than 1 MB"):
                write(f"{longest}b")
