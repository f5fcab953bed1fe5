"""Bad files that a description names: hole lists, drawings, lists as drilled, styles."""

from __future__ import annotations

import io
import os
import random
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from bad_input.cases import CHECK, SAMPLES, Case, either, mutated, sort
from bad_input.descriptions import unsettled
from bad_input.values import NUMBERS, hostile, toml


def _listed_panel(folder: Path, list_name: str, more: str = "") -> None:
    head = f'hole_list = "{list_name}"\n{more}[panel]\nsize = [260, 170]\n'
    (folder / "panel.toml").write_text(head)


@sort
def holes_csv(chance: random.Random, folder: Path) -> Case:
    """A hole list with its bytes changed, in another encoding, or far too long."""
    content = SAMPLES[chance.choice((2, 3))].with_name("holes.csv").read_bytes()
    text = content.decode()
    match chance.randrange(14):
        case 0:
            content = text.encode(
                chance.choice(["utf-16", "utf-16-le", "utf-32", "utf-8-sig", "cp037"])
            )
        case 1:
            content = (text + "Ä,1,2,3,,,,Größe\n").encode("latin-1")
        case 2:
            content = chance.choice(
                [b"", b"\n", b"\xef\xbb\xbf", b"\xff\xfe", b"\0" * 1000, b"id,x,y,drill"]
            )
        case 3:
            rows = chance.choice([9_990, 10_001, 30_000, 1_000_000])
            content = b"id,x,y,drill\n" + b"".join(
                b"%d,%d,9,1\n" % (i, i % 250) for i in range(rows)
            )
        case 4:
            line = chance.choice(
                [b"A" * 900_000, b"," * 900_000, b'"' * 900_001, b"A,1,2,3\n" * 100_000]
            )
            content = b"id,x,y,drill\n" + line
        case 5:
            rows = [
                f"{hostile(chance)};{chance.choice(NUMBERS)};9;{hostile(chance)}" for _ in range(9)
            ]
            content = ("id;x;y;drill\n" + "\n".join(rows)).encode(errors="surrogatepass")
        case 6:
            content = bytes(chance.randrange(256) for _ in range(chance.randrange(3000)))
        case _:
            content = mutated(content, chance)
    (folder / "holes.csv").write_bytes(content)
    _listed_panel(folder, "holes.csv")
    return either(chance)


@lru_cache(maxsize=4)
def _drawing(version: str) -> bytes:
    import ezdxf

    drawing = ezdxf.new(version)
    if version != "R12":
        drawing.header["$INSUNITS"] = 4
    block = drawing.blocks.new("PART")
    block.add_circle((0, 0), 4)
    space = drawing.modelspace()
    for i in range(6):
        space.add_circle((20 + 30 * i, 40), 4 + i, dxfattribs={"layer": f"L{i}"})
        space.add_text(f"HOLE{i}", height=3).set_placement((20 + 30 * i, 50))
        if version != "R12":
            space.add_mtext(f"M\\P{i}", dxfattribs={"insert": (20 + 30 * i, 30), "char_height": 3})
    space.add_lwpolyline(
        [(0, 0, 0), (200, 0, 0), (200, 120, 0.2), (0, 120, 0)], format="xyb", close=True
    ) if version != "R12" else space.add_polyline2d([(0, 0), (200, 0), (200, 120)], close=True)
    for begin, end in (((60, 80), (90, 80)), ((60, 90), (90, 90))):
        space.add_line(begin, end)
    space.add_arc((60, 85), 5, 90, 270)
    space.add_arc((90, 85), 5, 270, 90)
    if version != "R12":
        space.add_ellipse((150, 90), major_axis=(9, 0), ratio=0.5)
        space.add_spline([(120, 80), (130, 95), (140, 80)])
    space.add_blockref("PART", (50, 90), dxfattribs={"xscale": 2, "rotation": 30})
    written = io.StringIO()
    drawing.write(written)
    return written.getvalue().encode()


@sort
def holes_dxf(chance: random.Random, folder: Path) -> Case:
    """A drawing with its bytes or its values changed, or far too large."""
    content = _drawing(chance.choice(["R12", "R2000", "R2018"]))
    lines = content.split(b"\n")
    start = next((i for i, line in enumerate(lines) if line.strip() == b"ENTITIES"), 0)
    match chance.randrange(11):
        case 0:
            content = content[: chance.randrange(len(content))]
        case 7:  # a layout, a block, a layer or a style without a name, or with another's
            named = [i for i, line in enumerate(lines[:-1]) if line.strip() in (b"1", b"2", b"410")]
            for at in chance.sample(named, min(len(named), chance.choice((1, 3, 30)))):
                lines[at + 1] = chance.choice([b"", b" ", b"0", b"*Model_Space", b"Layout1"])
            content = b"\n".join(lines)
        case 1:
            count = chance.choice([5_000, 10_001, 60_000])
            circle = "\n".join(["0", "CIRCLE", "8", "0", "10", "{x}", "20", "5", "40", "1", ""])
            circles = "".join(circle.replace("{x}", str(i)) for i in range(count))
            content = f"0\nSECTION\n2\nENTITIES\n{circles}0\nENDSEC\n0\nEOF\n".encode()
        case 2:  # a block that is inserted into itself, or very often
            often = chance.choice([1, 1000, 30_000])
            name, spread = chance.choice("PQ"), f"70\n{often}\n71\n{often}\n44\n1\n45\n1"
            rows = f"0\nINSERT\n2\n{name}\n{spread}\n10\n0\n20\n0\n"
            block = (
                "0\nBLOCK\n2\n{n}\n10\n0\n20\n0\n"
                + rows * 3
                + "0\nCIRCLE\n10\n1\n20\n1\n40\n1\n0\nENDBLK\n"
            )
            blocks = block.replace("{n}", "P") + block.replace("{n}", "Q")
            content = (
                f"0\nSECTION\n2\nBLOCKS\n{blocks}0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{rows}0\nENDSEC\n0\nEOF\n"
            ).encode()
        case 3 | 4 | 5 | 6:
            for _ in range(chance.randrange(1, 30)):
                values = [
                    b"nan",
                    b"inf",
                    b"-1",
                    b"1e300",
                    b"0",
                    b"",
                    b"CIRCLE",
                    b"\xff\xfe",
                    b"9" * 400,
                ]
                values += [
                    hostile(chance).replace("\n", " ").encode(errors="replace"),
                    b"INSERT",
                    b"TEXT",
                ]
                lines[chance.randrange(start, len(lines))] = chance.choice(values)
            content = b"\n".join(lines)
        case _:
            at = content.find(b"ENTITIES")
            content = content[:at] + mutated(content[at:], chance)
    (folder / "holes.dxf").write_bytes(content)
    _listed_panel(folder, "holes.dxf")
    if chance.random() < 0.3:
        panel = 'hole_list = "holes.dxf"\npanel.outline.drawing = "holes.dxf"\n'
        (folder / "panel.toml").write_text(panel)
    return either(chance)


@sort
def as_drilled(chance: random.Random, folder: Path) -> Case:
    """Lists of what was measured: changed, far off, all in one place, mirrored, turned."""
    ids = "ABCDEF"
    design = {id: (chance.uniform(0, 260), chance.uniform(0, 170)) for id in ids}
    spread = chance.choice([0, 0.1, 5, 300])
    one = chance.random() < 0.2
    rows = [
        f"{id},{(9 if one else x) + chance.gauss(0, spread):.4f},{y * chance.choice((0, 1))},"
        for id, (x, y) in design.items()
    ]
    content = ("id,x,y,drill\n" + "\n".join(rows) + "\n").encode()
    (folder / "measured.csv").write_bytes(
        mutated(content, chance) if chance.random() < 0.7 else content
    )
    datum = chance.choice(["best fit", "upper right", "centre", "lower left"])
    holes = {id: {"at": list(at), "drill": 9} for id, at in design.items()}
    drilled: Any = {"hole_list": "measured.csv", "datum": datum}
    raw = {"panel": {"size": [260, 170]}, "holes": holes, "as_drilled": drilled}
    raw["control"] = [{"hole": id, "kind": "jack", "name": f"PART {id}"} for id in ids]
    if chance.random() < 0.3:
        unsettled(raw, chance)
    (folder / "panel.toml").write_text(toml(raw))
    return either(chance)


# --- Styles ---


@sort
def styles(chance: random.Random, folder: Path) -> Case:
    """Styles that name themselves, each other, nothing, folders, devices and pipes."""
    files = [f"s{i}.toml" for i in range(chance.choice((1, 3, 30, 300)))]
    (folder / "dir.toml").mkdir()
    os.mkfifo(folder / "pipe.toml")
    (folder / "loop.toml").symlink_to("loop.toml")
    (folder / "same.toml").symlink_to("s0.toml")
    (folder / "sub").mkdir()
    odd = ["pipe.toml", "dir.toml", "loop.toml", "same.toml", "none.toml", "/dev/zero", "/dev/null"]
    odd += ["/dev/stdin", "/dev/tty", "/dev/random", "../../x", ".", "sub/../s0.toml", "x" * 300]
    odd += [
        "a\0b",
        "panel.toml",
        "./panel.toml",
        "/proc/self/mem",
        "/proc/self/environ",
        *files[:4],
    ]
    for i, name in enumerate(files):
        after = (
            files[i + 1] if i + 1 < len(files) and chance.random() < 0.97 else chance.choice(odd)
        )
        text = toml({"style": after, "lettering": {"height": 3 + i % 3}})
        content = text.encode() if chance.random() < 0.9 else mutated(text.encode(), chance)
        (folder / name).write_bytes(content)
    more = {"style": chance.choice([files[0], files[0], *odd])}
    if chance.random() < 0.4:
        more[chance.choice(["hole_list", "as_drilled"])] = chance.choice(odd)
    if chance.random() < 0.4:
        face = chance.choice([*odd, "/dev/zero.ttf", "pipe.ttf", "pipe.svg", "dir.ttf", "loop.svg"])
        more["lettering"] = {"face": face}
        for name in ("pipe.ttf", "pipe.svg"):
            os.mkfifo(folder / name)
        (folder / "dir.ttf").mkdir()
        (folder / "loop.svg").symlink_to("loop.svg")
    raw = {**more, "panel": {"size": [100, 50]}, "text": [{"at": [50, 20], "text": "LAMP"}]}
    (folder / "panel.toml").write_text(toml(raw))
    if chance.random() < 0.1:
        return replace(CHECK, words=["check", chance.choice([*odd[:7], "/dev/tty", "dir.toml/x"])])
    return either(chance)
