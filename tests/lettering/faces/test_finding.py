"""Faces are found by path and by name, and what is not found is said with the nearest."""

import importlib
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from font_files import MANROPE, SANS

from legend.lettering.faces.face import FaceError, TextStyle, Weighted
from legend.lettering.faces.finding import Installed, installed_faces, load_face

STROKES = """<svg xmlns="http://www.w3.org/2000/svg"><defs><font>
<font-face units-per-em="100" cap-height="70"/>
<glyph unicode="I" d="M0 0 V70"/></font></defs></svg>"""


def test_the_built_in_face(tmp_path: Path) -> None:
    face = load_face("plain", tmp_path)
    assert face.name == "plain"
    assert face.has("A")
    assert load_face("plain", tmp_path.parent) is face


def test_a_path_is_relative_to_the_folder(tmp_path: Path) -> None:
    (tmp_path / "fonts").mkdir()
    shutil.copy(SANS, tmp_path / "fonts/sans.ttf")
    face = load_face("fonts/sans.ttf", tmp_path)
    assert face.name == "fonts/sans.ttf"
    assert face.has("Ω")
    assert load_face("fonts/sans.ttf", tmp_path) is face


def test_a_file_that_was_changed_is_read_again(tmp_path: Path) -> None:
    shutil.copy(SANS, tmp_path / "sans.ttf")
    first = load_face("sans.ttf", tmp_path)
    shutil.copy(MANROPE / "Manrope-Bold.ttf", tmp_path / "sans.ttf")
    second = load_face("sans.ttf", tmp_path)
    assert isinstance(first, Weighted)
    assert isinstance(second, Weighted)
    assert second.stem != pytest.approx(first.stem, rel=0.05)


def test_axes_reach_the_font(tmp_path: Path) -> None:
    name = str(MANROPE / "Manrope-VariableFont_wght.ttf")
    light = load_face(name, tmp_path, {"wght": 200})
    bold = load_face(name, tmp_path, {"wght": 800})
    assert isinstance(light, Weighted)
    assert isinstance(bold, Weighted)
    assert bold.stem > 2 * light.stem
    assert load_face(name, tmp_path, {"wght": 200}) is light


def test_a_font_of_single_strokes(tmp_path: Path) -> None:
    (tmp_path / "mine.svg").write_text(STROKES)
    face = load_face("mine.svg", tmp_path)
    line = face.set_line("I", TextStyle(face, 7, stroke=0.1))
    left, bottom, right, top = line.letters[0].outline.bounds
    assert (right - left, bottom, top) == pytest.approx((0.7, 0, 7), abs=0.01)
    with pytest.raises(FaceError, match="has no axes"):
        load_face("mine.svg", tmp_path, {"wght": 400})


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    (tmp_path / "Routing-Bold.ttf").touch()
    with pytest.raises(FaceError, match=r"There is no face file .*the nearest there: Routing-Bold"):
        load_face("Routng-Bold.ttf", tmp_path)
    with pytest.raises(FaceError, match=r"nor a folder .*elsewhere"):
        load_face("elsewhere/Routing-Bold.ttf", tmp_path)


# --- Installed fonts ---


@pytest.fixture
def shelf(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine with the cuts of two families, and with files that are no fonts."""
    folder = SANS.parent
    paths = [*MANROPE.glob("*.ttf"), *folder.glob("DejaVuSerif*.ttf")]
    paths += [Path(__file__), folder / "missing.ttf"]
    module = importlib.import_module("find_system_fonts_filename")
    monkeypatch.setattr(module, "get_system_fonts_filename", lambda: {str(path) for path in paths})
    installed_faces.cache_clear()
    yield
    installed_faces.cache_clear()


@pytest.mark.usefixtures("shelf")
def test_installed_faces_are_listed_by_family_the_plainest_first() -> None:
    listed = [(face.family, face.cut) for face in installed_faces()]
    assert listed[0] == ("DejaVu Serif", "Book")
    assert ("DejaVu Serif", "Bold Italic") in listed
    families = [family for family, _ in listed]
    assert families == sorted(families)
    assert listed[families.index("Manrope")] == ("Manrope", "Regular")


@pytest.mark.usefixtures("shelf")
@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("DejaVu Serif", "DejaVuSerif.ttf"),
        ("dejavu serif", "DejaVuSerif.ttf"),
        ("DejaVu Serif Bold", "DejaVuSerif-Bold.ttf"),
        ("DejaVu Serif Italic", "DejaVuSerif-Italic.ttf"),
        ("Manrope Medium", "Manrope-Medium.ttf"),
        ("Manrope ExtraBold", "Manrope-ExtraBold.ttf"),
    ],
)
def test_an_installed_face_goes_by_its_family_or_its_full_name(name: str, file: str) -> None:
    found, given = load_face(name, Path()), load_face(str(_folder_of(file) / file), Path())
    (one,), (other,) = (face.set_line("R", TextStyle(face, 5)).letters for face in (found, given))
    assert (one.outline.contours[0].points == other.outline.contours[0].points).all()


def _folder_of(file: str) -> Path:
    return MANROPE if file.startswith("Manrope") else SANS.parent


@pytest.mark.usefixtures("shelf")
def test_a_name_that_is_not_installed(tmp_path: Path) -> None:
    with pytest.raises(FaceError, match=r"No face 'Manrop'.*nearest: Manrope.*write its path"):
        load_face("Manrop", tmp_path)


def test_a_machine_that_lists_no_fonts(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    module = importlib.import_module("find_system_fonts_filename")

    def refuse() -> set[str]:
        raise module.FindSystemFontsFilenameException

    monkeypatch.setattr(module, "get_system_fonts_filename", refuse)
    installed_faces.cache_clear()
    try:
        assert installed_faces() == ()
        with pytest.raises(FaceError, match="No face 'Anything' is built in or installed"):
            load_face("Anything", tmp_path)
    finally:
        installed_faces.cache_clear()


@pytest.mark.usefixtures("shelf")
def test_an_installed_face_knows_where_it_lies() -> None:
    found = [face for face in installed_faces() if face.path.name == "DejaVuSerif.ttf"]
    assert len(found) == 1
    assert isinstance(found[0], Installed)
    assert (found[0].family, found[0].index) == ("DejaVu Serif", 0)
    assert found[0].path.parent == SANS.parent
    assert found[0].plainness == 0


def test_libraries_that_read_fonts_are_left_alone_until_a_font_is_read() -> None:
    program = (
        "import sys\n"
        "from pathlib import Path\n"
        "from legend.lettering import on_arc, symbols, typesetting\n"
        "from legend.lettering.faces import finding\n"
        "from legend.lettering.faces.face import TextStyle\n"
        "style = TextStyle(finding.load_face('plain', Path()), 3.5)\n"
        "typesetting.set_text('MAINS symbol:earth', style)\n"
        "print([name for name in ('uharfbuzz', 'fontTools', 'bidi') if name in sys.modules])\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program],
        cwd=Path(__file__).parents[3],
        capture_output=True,
        text=True,
        check=True,
    )
    assert ran.stdout.strip() == "[]"
