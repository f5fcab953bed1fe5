"""A file that the program wrote in; what is wrong with it, by readers that others wrote, out."""

from __future__ import annotations

import json
import re
import warnings
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import Any

#: What a command or a judgement may want.
_WANTED = """
    encodings.cp1252 encodings.idna encodings.utf_16 encodings.utf_8_sig brotli ezdxf.recover
    fontTools.ttLib.woff2 html5lib PIL.PngImagePlugin pypdfium2 uharfbuzz legend.commands.cli
    legend.description.reading.hole_lists.dxf_holes
    legend.description.reading.explaining.toml_repair
    legend.description.reading.explaining.fault_sentences legend.drawing.pdf.drilling_template
    legend.drawing.findings_json legend.drawing.job_card.job_card legend.drawing.pdf.overlay_pdf
    legend.drawing.placement_card legend.drawing.proofs.proof_png
    legend.drawing.proofs.proof_svg legend.drawing.stencil_files
    legend.lettering.faces.outline_face legend.lettering.faces.stroke_face
    legend.lettering.faces.web_font legend.making.panel_files legend.making.stages
    legend.stencil
"""

#: The elements that a drawing of ours may hold, and no others.
_DRAWN = {"svg", "g", "path", "title", "desc", "metadata", "defs", "rect", "circle", "line"}
#: What a page that was written into by a stranger might hold, and a job card never does.
_STRANGE = {"script", "iframe", "object", "embed", "link", "img", "form", "input", "base", "a"}
_PLACING_SCRIPT = Path(__file__).parents[3] / "legend/drawing/placing/placing.js"
_STRANGE_KEYS = re.compile(r"on[a-z]+|href|src|srcdoc|action|formaction|style", re.IGNORECASE)


def load() -> None:
    """Import everything that a command or a judgement may want, before there are processes."""
    for name in _WANTED.split():
        import_module(name)


def read(path: Path) -> Iterator[str]:
    """All that is wrong with a file, by the ending of its name."""
    reader = {".svg": _svg, ".html": _html, ".json": _json, ".pdf": _pdf, ".png": _png}
    if path.suffix not in reader:
        return
    from legend.writing import is_ours

    if not is_ours(path):
        yield f"{path.name} is not known again"
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            for wrong in reader[path.suffix](path):
                yield f"{path.name}: {wrong}"
    except Exception as error:  # readers fail in every way
        yield f"{path.name} cannot be read: {type(error).__name__} {error}"[:300]


def _svg(path: Path) -> Iterator[str]:
    ids = set()
    for element in ET.parse(path).getroot().iter():
        name = str(element.tag).rpartition("}")[2]
        if name not in _DRAWN:
            yield f"holds a {name}"
        for key, value in element.attrib.items():
            if key.startswith("on") or key.endswith("href"):
                yield f"has a {key}"
            if key == "d" and re.search("nan|inf", value, re.IGNORECASE):
                yield "has a number that is none"
            if key == "id" and value in ids:
                yield f"has the id {value!r} twice"
            if key == "id":
                ids.add(value)


def _html(path: Path) -> Iterator[str]:
    import html5lib

    parser = html5lib.HTMLParser(strict=False, namespaceHTMLElements=False)
    root = parser.parse(path.read_text(encoding="utf-8"))
    for element in root.iter():
        name = str(element.tag).rpartition("}")[2]
        if name in _STRANGE and not _is_our_own(element, path):
            yield f"holds a {name}"
        for key, value in element.attrib.items():
            within = name == "use" and str(key) == "href" and value.startswith("#")
            if _STRANGE_KEYS.fullmatch(str(key)) and name != "svg" and not within:
                yield f"has a {key} on {name}"
    if parser.errors:
        yield f"is not sound: {parser.errors[0][1]}"


def _is_our_own(element: Any, path: Path) -> bool:
    """Whether it is the script of the page for a phone, word for word, or one of its boxes."""
    if path.name != "placing.html":
        return False
    if element.tag == "script":
        return bool(element.text.strip() == _PLACING_SCRIPT.read_text(encoding="utf-8").strip())
    return bool(element.tag == "input" and element.attrib == {"type": "checkbox"})


def _json(path: Path) -> Iterator[str]:
    def refuse(number: str) -> None:
        raise ValueError(f"{number} is no JSON")

    json.loads(path.read_text(encoding="utf-8"), parse_constant=refuse)
    return iter(())


def _pdf(path: Path) -> Iterator[str]:
    import pypdfium2

    with pypdfium2.PdfDocument(path) as document:
        if not len(document):
            yield "has no pages"
    said_or_done = re.sub(rb"\((?:\\.|[^\\()])*\)", b"", path.read_bytes(), flags=re.DOTALL)
    for word in (b"/JavaScript", b"/OpenAction", b"/Launch", b"/AA "):
        if word in said_or_done:
            yield f"holds {word!r}"


def _png(path: Path) -> Iterator[str]:
    from PIL import Image

    Image.MAX_IMAGE_PIXELS = None
    with Image.open(path) as picture:
        picture.verify()
    return iter(())
