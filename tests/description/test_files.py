"""The files that a description is read from."""

from pathlib import Path

from legend.description.files import files_of


def _names(panel: Path) -> set[str]:
    return {str(path.relative_to(panel.parent)) for path in files_of(panel)}


def test_styles_hole_lists_and_fonts(tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    panel.write_text(
        'style = "house/style.toml"\nhole_list = "holes.csv"\n'
        '[as_drilled]\nhole_list = "measured.csv"\n[lettering.title]\nface = "big.ttf"\n'
    )
    (tmp_path / "house").mkdir()
    (tmp_path / "house" / "style.toml").write_text(
        'style = "base.toml"\nlettering = { face = "a.otf" }\n'
    )
    assert _names(panel) == {
        "panel.toml", "holes.csv", "measured.csv", "big.ttf",
        "house/style.toml", "house/base.toml", "house/a.otf",
    }  # fmt: skip


def test_the_name_of_a_list_of_drilled_holes_alone(tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    panel.write_text('as_drilled = "measured.csv"\n')
    assert _names(panel) == {"panel.toml", "measured.csv"}


def test_what_cannot_be_read_names_nothing(tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    assert _names(panel) == {"panel.toml"}
    for content in (b"hole_list = ", b"\xff\xfe", b"hole_list = 3\nstyle = [1]\n", b"[" * 5000):
        panel.write_bytes(content)
        assert _names(panel) == {"panel.toml"}


def test_styles_that_go_round_in_a_circle(tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    panel.write_text('style = "other.toml"\n')
    (tmp_path / "other.toml").write_text('style = "panel.toml"\n')
    assert _names(panel) == {"panel.toml", "other.toml"}
