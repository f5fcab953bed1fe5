"""Bad fonts of every sort: font files and faces of single strokes, changed and made up."""

from __future__ import annotations

import io
import random
import re
import struct
import zlib
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from bad_input.cases import CHECK, FACES, MAKE, Case, mutated, sort
from bad_input.values import NUMBERS, toml

_PLAIN = Path(__file__).parents[3] / "fonts" / "plain.svg"


@lru_cache(maxsize=32)
def _font(name: str, ending: str) -> bytes:
    """A sound font in one of its wrappings, of few characters, so that most bytes matter."""
    from fontTools import subset
    from fontTools.ttLib import TTCollection, TTFont

    options = subset.Options(layout_features=["*"], notdef_outline=True)
    font = TTFont(FACES[name])
    cutter = subset.Subsetter(options)
    cutter.populate(text="RANGE 50kHzEXPOSUfiשל\u0301")
    cutter.subset(font)
    written = io.BytesIO()
    if ending == "ttc":
        both = TTCollection()
        both.fonts = [font, TTFont(io.BytesIO(_font("serif", "otf")))]
        both.save(written)
    else:
        font.flavor = ending if ending.startswith("woff") else None
        font.save(written)
    return written.getvalue()


def _panel(folder: Path, chance: random.Random, face: str) -> Case:
    lettering: dict[str, object] = {"face": face, "height": chance.choice([3.5, 10, 200])}
    if chance.random() < 0.2 and not face.endswith("svg"):
        value = chance.choice([400, 200, 800, *NUMBERS])
        lettering["axes"] = {chance.choice(["wght", "wdth", "ital", "", "x" * 300]): value}
    if chance.random() < 0.1:
        lettering["index"] = chance.choice([0, 1, 1000])
    if chance.random() < 0.2:
        lettering["note"] = {"face": "plain"}  # and one of another face beside it
    stencil = {"method": "paint-through", "stock": "sheet"} if chance.random() < 0.3 else {}
    raw = {
        "panel": {"size": [400, 300]},
        "lettering": lettering,
        "stencil": stencil,
        "text": [
            {"at": [100, 150], "text": "RANGE 50"},
            {"at": [200, 50], "text": "EXPOSURE fi E\u0301 kHz של", "role": "title"},
        ],
    }
    (folder / "panel.toml").write_text(toml(raw))
    return replace(MAKE if chance.random() < 0.5 else CHECK, megabytes=300)


@sort
def font_bytes(chance: random.Random, folder: Path) -> Case:
    """A font with its bytes changed: anywhere, or in one table."""
    name, ending = chance.choice(
        [
            *(("dejavu", "ttf"), ("serif", "otf"), ("variable", "ttf"), ("dejavu", "ttc")),
            *(("dejavu", "woff"), ("serif", "woff2"), ("dejavu", "woff2"), ("variable", "woff2")),
        ]
    )
    content = _font(name, ending)
    match chance.randrange(6):
        case 0:
            content = content[: chance.randrange(len(content))]
        case 1:
            content = mutated(content, chance)
        case 2:
            head = mutated(content[:400], chance)
            content = head + content[400:]
        case _ if ending in ("ttf", "otf"):
            content = _one_table(content, chance)
        case _:
            data = bytearray(content)
            for _ in range(chance.choice((1, 3, 30))):
                data[chance.randrange(len(data))] = chance.choice((0, 1, 127, 128, 255))
            content = bytes(data)
    path = folder / f"face.{chance.choice([ending] * 9 + ['ttf', 'svg'])}"
    path.write_bytes(content)
    return _panel(folder, chance, path.name)


def _one_table(content: bytes, chance: random.Random) -> bytes:
    """Bytes of one table changed, in place."""
    data = bytearray(content)
    (count,) = struct.unpack_from(">H", data, 4)
    at = 12 + 16 * chance.randrange(count)
    _, _, start, length = struct.unpack_from(">4sLLL", data, at)
    for _ in range(chance.choice((1, 2, 5, 40))):
        if length >= 2:
            place = start + chance.randrange(min(length, chance.choice((40, length))) - 1)
            value = chance.choice((0, 1, 0x7FFF, 0x8000, 0xFFFF, chance.randrange(65536)))
            struct.pack_into(">H", data, place, value)
    return bytes(data)


@sort
def font_values(chance: random.Random, folder: Path) -> Case:
    """A font made up: absurd sizes, glyphs that cross themselves or hold themselves, bombs."""
    path = folder / "face.ttf"
    match chance.randrange(8):
        case 0:
            path = folder / "face.woff"
            path.write_bytes(_bomb(chance))
        case 1:
            path = folder / "face.woff2"
            path.write_bytes(_brotli_bomb(chance))
        case 2:
            with path.open("wb") as file:
                file.write(_font("dejavu", "ttf"))
                file.truncate(chance.choice([10**6, 10**8, 10**9, 10**10]))
        case 3:
            path.write_bytes(_with_values(chance))
        case _:
            path.write_bytes(_made_up(chance))
    return _panel(folder, chance, path.name)


def _with_values(chance: random.Random) -> bytes:
    from fontTools.ttLib import TTFont
    from fontTools.ttLib.tables._g_l_y_f import Glyph

    font = TTFont(io.BytesIO(_font(chance.choice(["dejavu", "variable"]), "ttf")))
    font["head"].unitsPerEm = chance.choice([0, 1, 15, 16, 1000, 16384, 65535])
    if "OS/2" in font:
        font["OS/2"].sCapHeight = chance.choice([0, 1, -1, 32767])
    if chance.random() < 0.5:  # letters of which nothing can be seen, those among them that are
        for letter in chance.choice(["H", "HEX", "RANGE"]):  # measured
            font["glyf"][font.getBestCmap()[ord(letter)]] = Glyph()
    else:
        for name in chance.sample(font.getGlyphOrder(), 3):
            font["hmtx"][name] = (chance.choice([0, 65535]), chance.choice([-32768, 32767]))
    written = io.BytesIO()
    font.save(written)
    return written.getvalue()


def _made_up(chance: random.Random) -> bytes:
    """A font whose letters are drawn at random, or out of each other."""
    from fontTools.fontBuilder import FontBuilder
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    letters = list("RANGE50XPOSUkHz")
    order = [".notdef", "space", *letters]
    builder = FontBuilder(chance.choice([16, 1000, 16384]), isTTF=True)
    builder.setupGlyphOrder(order)
    builder.setupCharacterMap({32: "space", **{ord(c): c for c in letters}})
    reach = chance.choice([1, 30, 1000, 16000])
    points = chance.choice([3, 10, 100, 500, 3000, 12_000])
    curved = chance.random() < 0.5
    parts = chance.random() < 0.3

    def spot() -> tuple[int, int]:
        return chance.randrange(-reach, reach + 1), chance.randrange(-reach, reach + 1)

    glyphs = {}
    for name in order:
        pen = TTGlyphPen(dict.fromkeys(order))
        if parts and name not in ("E", "space"):
            for _ in range(chance.choice((1, 2, 30))):
                pen.addComponent(
                    chance.choice(order[2:]),
                    (chance.choice((1, -1, 1.9)), 0, 0, 1, chance.randrange(-reach, reach), 0),
                )
        elif name in ("R", "E") or chance.random() < 0.3:
            for _ in range(chance.choice((1, 1, 5))):
                pen.moveTo(spot())
                for _ in range(points // (2 if curved else 1)):
                    _ = pen.qCurveTo(spot(), spot()) if curved else pen.lineTo(spot())
                pen.closePath()
        else:
            pen.moveTo((0, 0)), pen.lineTo((reach, 0)), pen.lineTo((reach, reach)), pen.closePath()
        glyphs[name] = pen.glyph()
    builder.setupGlyf(glyphs, calcGlyphBounds=False)
    builder.setupHorizontalMetrics({name: (chance.choice([600, 0, 30_000]), 0) for name in order})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupOS2(sCapHeight=chance.choice([0, 700]))
    builder.setupPost()
    for glyph in glyphs.values():
        for side in ("xMin", "yMin", "xMax", "yMax"):
            setattr(glyph, side, getattr(glyph, side, 0) or 0)
    builder.font.recalcBBoxes = False
    builder.font["head"].xMin = builder.font["head"].yMin = 0
    builder.font["head"].xMax = builder.font["head"].yMax = 1000
    builder.font["maxp"].recalc = lambda font: None
    for key in (
        "maxPoints",
        "maxContours",
        "maxCompositePoints",
        "maxCompositeContours",
        "maxComponentElements",
        "maxComponentDepth",
    ):
        setattr(builder.font["maxp"], key, 0)
    written = io.BytesIO()
    builder.font.save(written)
    return written.getvalue()


def _bomb(chance: random.Random) -> bytes:
    """A web font of which one small table becomes a huge one."""
    size = chance.choice([10**6, 3 * 10**8, 10**9])
    packer = zlib.compressobj(9)
    packed = b"".join(packer.compress(bytes(10**6)) for _ in range(size // 10**6)) + packer.flush()
    claimed = chance.choice([size, 100, 2**32 - 1])
    entry = struct.pack(">4sLLLL", b"glyf", 64, len(packed), claimed, 0)
    head = struct.pack(
        ">4sLLHHLHHLLLLL", b"wOFF", 0x10000, 64 + len(packed), 1, 0, 100, 1, 0, 0, 0, 0, 0, 0
    )
    return head + entry + packed


def _brotli_bomb(chance: random.Random) -> bytes:
    import brotli

    size = chance.choice([10**6, 10**8, 5 * 10**8])
    packer = brotli.Compressor(quality=1)
    packed = b"".join(packer.process(bytes(10**6)) for _ in range(size // 10**6)) + packer.finish()
    claimed = chance.choice([size, 100])
    base, digits = claimed, []
    while base or not digits:
        digits.insert(0, base & 0x7F)
        base >>= 7
    number = bytes([d | 0x80 for d in digits[:-1]] + digits[-1:])
    table = bytes([10 | 0xC0]) + number  # glyf, not transformed
    length = 48 + len(table) + len(packed)
    counts = (length, 1, 0, claimed, len(packed), 1, 0, 0, 0, 0, 0, 0)
    head = struct.pack(">4sLLHHLLHHLLLLL", b"wOF2", 0x10000, *counts)
    return head + table + packed


# --- Faces of single strokes ---

_BOMB = "<!DOCTYPE x [<!ENTITY a 'ha'>" + "".join(
    f"<!ENTITY {b} '{f'&{a};' * 20}'>" for a, b in zip("abcdefgh", "bcdefghi", strict=True)
)


@sort
def stroke_faces(chance: random.Random, folder: Path) -> Case:
    """The built-in face with its bytes or numbers changed, or one made up."""
    text = _PLAIN.read_text()
    content = text.encode()
    match chance.randrange(11):
        case 0 | 1 | 2:
            content = mutated(content, chance)
        case 9:  # letters of which nothing can be seen, those among them that are measured
            for letter in chance.choice(["H", "HE", "RANGE", "5"]):
                drawn = rf'(unicode="{letter}"[^>]*\bd=)"[^"]*"'
                empty = chance.choice(["", "M0 0", "M300 0M300 700"])
                text = re.sub(drawn, rf'\1"{empty}"', text)
            content = text.encode()
        case 10:
            content = _as_long_as_may_be(chance).encode()
        case 3 | 4:
            numbers = [
                "0",
                "-1",
                "1e9",
                "1e-9",
                "1e308",
                "-1e308",
                "1e400",
                "700",
                "nan",
                "inf",
                "9" * 400,
                "1e5",
                "1e4",
            ]
            for _ in range(chance.choice((1, 10, 200))):
                spots = list(re.finditer(r"[-\d.]+", text[: chance.choice((4000, len(text)))]))
                spot = chance.choice(spots[-200:] if chance.random() < 0.5 else spots)
                text = text[: spot.start()] + chance.choice(numbers) + text[spot.end() :]
            content = text.encode()
        case 5:
            content = chance.choice(
                [
                    text.replace("<svg", f"{_BOMB}]>\n<svg", 1).replace(
                        'unicode="R"', 'unicode="&i;"'
                    ),
                    text.replace("<svg", '<!DOCTYPE x SYSTEM "file:///etc/passwd">\n<svg', 1),
                    text.replace(
                        "<svg", '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]><svg', 1
                    ),
                    text.replace("<font ", '<font horiz-adv-x="&#1;" ', 1),
                    "<svg><font>" + "<g>" * 200_000,
                    "<svg>" + "<g a='" + "x" * 900_000 + "'/></svg>",
                    "",
                    "<svg",
                ]
            ).encode()
        case 6:
            encoding = chance.choice(
                ["x-none", "utf-16", "cp037", "ascii", "latin-1", "utf-7", "idna", "rot13", "hex"]
            )
            content = (
                f'<?xml version="1.0" encoding="{encoding}"?>\n'.encode()
                + text.split("?>", 1)[-1].encode()
            )
        case 7:
            content = text.encode(chance.choice(["utf-16", "utf-8-sig", "utf-32", "utf-16-le"]))
        case 8:
            content = _scribbled(chance).encode()
    (folder / "face.svg").write_bytes(content)
    return _panel(folder, chance, "face.svg")


def _as_long_as_may_be(chance: random.Random) -> str:
    """A face of nearly the greatest length, all of one thing."""
    length = chance.choice([100_000, 4_850_000])
    once = chance.choice(["l1 1", "a1 2 0 0 0 1 1", "Z", "M0 0Z", "t1 1 ", "M1 1", "h", "1 ", "9"])
    glyphs = f'<glyph unicode="R" d="M0 0L1 1{once * (length // len(once))}"/>'
    if chance.random() < 0.4:
        once = chance.choice(["<g/>", "<g>", "<!---->", "<?a b?>", "x", "&#32;", "<g a='' b=''/>"])
        glyphs = '<glyph unicode="R" d="M0 0V9"/>' + once * (length // len(once))
    return f'<svg><font><font-face cap-height="700"/>{glyphs}</font></svg>'


def _scribbled(chance: random.Random) -> str:
    """A face whose letters are long paths at random."""
    reach = chance.choice([1, 1000, 1e6, 1e12])
    number = lambda: f"{chance.uniform(-reach, reach):.4g}"  # noqa: E731
    count = chance.choice([1, 10, 100, 1000, 30_000])
    glyphs = []
    for character in "RANGE50XPOSUkHzfi":
        d = f"M{number()} {number()}"
        for _ in range(count):
            kind = chance.choice("LLHVCSQTAZzMm")
            numbers = {"L": 2, "M": 2, "m": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2}.get(
                kind, 0
            )
            d += kind + " ".join(number() for _ in range(numbers))
            if kind == "A":
                flags = f"{chance.randrange(2)} {chance.randrange(2)}"
                d += f"{number()} {number()} {chance.randrange(360)} {flags} {number()} {number()}"
        glyphs.append(f'<glyph unicode="{character}" d="{d}"/>')
        if chance.random() < 0.5:
            count = min(count, 10)
    height = chance.choice(
        ["", f'<font-face cap-height="{chance.choice([700, 1e-300, 1e300, 1e-3, 1e6, 10])}"/>']
    )
    return f"<svg><font>{height}{''.join(glyphs)}</font></svg>"
