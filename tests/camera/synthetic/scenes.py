"""Trace the light of a scene: the plate's face, its edges and the walls of its holes, its shadow.

Everything with an edge is an outline at a height, seen exactly by the eye and filled exactly
(`coverage`); what lies behind shows where nothing before it does. The plate is a stack of
outlines from its front to its back, so that walls and back rims are seen as they are through
metal of its thickness.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from .backings import Backing, tile
from .coverage import Layer, Points, Window, covered, window_of
from .eyes import Eye, ground
from .lights import Lighting, Normal, Values
from .plates import SLANT, STEEP, Plate, RealHole
from .rims import grown
from .surfaces import Colour, Finish, grain

Light = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Film:
    """Film for letters: how thick it is, mm, what part of the light it lets through, its gloss."""

    thickness: float = 0.08
    clear: float = 0.0
    gloss: float = 0.03


@dataclass(frozen=True, slots=True, eq=False)
class Mark:
    """Something on the face: filled outlines (holes run the other way), its colour, how dense.

    One of film throws a shadow by its thickness, and its cut edge shows.
    """

    outlines: tuple[Points, ...]
    colour: Colour
    density: float = 1.0
    gloss: float = 0.0
    film: Film | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """All that is seen: the plate, what is on it and under it, the light, the eye.

    `marks` are on the face, `over` also lies over holes and edges. `walls` is the colour of holes'
    walls, chamfers and burrs: of metal where they were drilled after painting. The outer edges were
    deburred before. `shallow` is the blur of what lies at the back, px, for an eye that is sharp
    at the front only.
    """

    plate: Plate
    finish: Finish
    eye: Eye
    lighting: Lighting
    backing: Backing
    marks: tuple[Mark, ...] = ()
    over: tuple[Mark, ...] = ()
    walls: Colour = (0.5, 0.5, 0.5)
    shallow: float = 0.0


def light_of(scene: Scene, rng: np.random.Generator) -> Light:
    """The light of a scene at each pixel, linear, before any blur."""
    eye, plate = scene.eye, scene.plate
    per_mm = _per_mm(eye, plate)
    light = _beneath(scene, per_mm, rng)
    if scene.shallow:
        light = np.asarray(cv2.GaussianBlur(light, (0, 0), scene.shallow), np.float32)
    outline = eye.see(plate.outline)
    window = window_of([outline], eye.shape, 12)
    assert window is not None
    left, top, width, height = window
    behind = light[top : top + height, left : left + width]
    x, y = (each[top : top + height, left : left + width] for each in ground(eye, 0.0))
    face = _face(scene, x, y, window, per_mm, rng)
    beneath = behind.copy()
    _over(scene, behind, face, window)
    for hole in plate.holes:
        _bored(scene, hole, behind, face, beneath, (x, y), window, rng)
    for mark in scene.over:
        _marked(scene, behind, mark, x, y, window)
    return light


def _per_mm(eye: Eye, plate: Plate) -> float:
    middle = np.array([plate.size]) / 2
    a, b = eye.see(np.concatenate([middle, middle + np.array([1, 0])]))
    return float(np.hypot(*(b - a)))


# --- What lies beneath ---


def _beneath(scene: Scene, per_mm: float, rng: np.random.Generator) -> Light:
    """The backing, with the plate's shadow on it."""
    eye, backing = scene.eye, scene.backing
    height = -scene.plate.thickness - backing.gap
    x, y = ground(eye, height)
    texture = tile(backing, per_mm, rng)
    light = np.asarray(
        cv2.remap(
            texture,
            x * per_mm + texture.shape[1] / 2,
            -y * per_mm + texture.shape[0] / 2,
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REFLECT,
        ),
        np.float32,
    )
    if backing.sheet:
        _printed(scene, light, height, rng)
    lit, open_ = _shadow(scene, height, per_mm)
    light *= scene.lighting.on(x, y, lit=lit, open_=open_)[..., None]
    return light


def _printed(scene: Scene, light: Light, height: float, rng: np.random.Generator) -> None:
    sheet, eye = scene.backing.sheet, scene.eye
    assert sheet is not None

    def paint(outlines: Sequence[Points], tone: float) -> None:
        seen = [
            eye.see(each, height + (sheet.lift(each) if sheet.lift else 0)) for each in outlines
        ]
        window = window_of(seen, eye.shape)
        if window:
            left, top, wide, high = window
            part = light[top : top + high, left : left + wide]
            part += covered(seen, window)[..., None] * (tone - part)

    paint([sheet.outline], sheet.paper)
    for outlines, tone in sheet.patches:
        paint(outlines, tone)


def _shadow(scene: Scene, height: float, per_mm: float) -> tuple[Layer, Layer]:
    """What part of the lamp each place beneath sees, and what part of the room."""
    eye, plate, lighting = scene.eye, scene.plate, scene.lighting
    rows, columns = eye.shape
    coarse = 2 if rows * columns > 3e6 else 1
    shape = (-(-rows // coarse), -(-columns // coarse))
    dark = np.zeros(shape, np.float32)
    gone = np.zeros(shape, np.float32)
    depths = np.linspace(0, plate.thickness, 3)
    window = (0, 0, shape[1], shape[0])
    for depth in depths:
        below = -height - depth
        outlines = [
            plate.outline,
            *(hole.at_depth(depth, plate.thickness)[::-1] for hole in plate.holes),
        ]
        seen = [
            (eye.see(lighting.shadow(each, below), height) + 0.5) / coarse - 0.5
            for each in outlines
        ]
        layer = covered(seen, window)
        soft = lighting.penumbra(below) * per_mm / coarse
        if soft > 0.3:
            layer = np.asarray(cv2.GaussianBlur(layer, (0, 0), soft), np.float32)
        dark = np.maximum(dark, layer)
        if depth == 0:
            reach = max(0.5, 0.8 * -height * per_mm / coarse)
            gone = np.asarray(
                cv2.blur(cv2.blur(layer, (k := int(reach) * 2 + 1, k)), (k, k)), np.float32
            )
    lit, open_ = 1 - dark, 1 - 0.7 * gone
    if coarse > 1:
        lit, open_ = (
            np.asarray(
                cv2.resize(each, (shape[1] * coarse, shape[0] * coarse))[:rows, :columns],
                np.float32,
            )
            for each in (lit, open_)
        )
    return lit, open_


# --- The face ---


def _face(
    scene: Scene, x: Values, y: Values, window: Window, per_mm: float, rng: np.random.Generator
) -> Light:
    """The face as if nothing were drilled, over the whole window."""
    finish, plate = scene.finish, scene.plate
    texture = grain(finish, (plate.size[0] + 8, plate.size[1] + 8), per_mm, rng)
    map_x, map_y = (x + 4) * per_mm, (plate.size[1] + 4 - y) * per_mm
    texture = np.asarray(
        cv2.remap(texture, map_x, map_y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE),
        np.float32,
    )
    face = shaded(scene, finish, x, y, (0.0, 0.0, 1.0), texture)
    for mark in scene.marks:
        _marked(scene, face, mark, x, y, window)
    _bevelled(scene, face, x, y, window)
    for hole in plate.holes:
        if hole.burr:
            _burred(scene, hole, face, x, y, window, rng)
    return face


def shaded(
    scene: Scene,
    finish: Finish,
    x: Values,
    y: Values,
    normal: Normal,
    texture: float | Values = 1.0,
) -> Light:
    """The light that a surface sends to the eye."""
    colour = np.array(finish.colour, np.float32)
    falling = scene.lighting.on(x, y, normal)
    mirrored = scene.lighting.mirrored(x, y, normal, finish.rough)
    if finish.metallic:
        whole = ((1 - finish.gloss) * falling + finish.gloss * mirrored) * texture
        return np.asarray(whole[..., None] * colour, np.float32)
    return np.asarray(
        (falling * texture)[..., None] * colour + (finish.gloss * mirrored)[..., None], np.float32
    )


def _worked(colour: Colour, metal: bool, rough: float = 0.3) -> Finish:
    """The surface of an edge or a chamfer: turned or filed metal, or the paint over it."""
    if metal:
        return Finish("mill", colour, 0.7, (rough, rough), 0.0)
    return Finish("paint", colour, 0.04, (0.1, 0.1), 0.0)


def _bare(scene: Scene) -> bool:
    """Whether the holes are of bare metal."""
    return scene.finish.metallic or scene.walls != scene.finish.colour


def _part(light: Light, window: Window, within: Window) -> Light:
    left, top, width, height = window
    a, b = left - within[0], top - within[1]
    return light[b : b + height, a : a + width]


def _clipped(seen: Sequence[Points], window: Window, margin: int = 2) -> Window | None:
    """The part of a window that outlines may touch, in pixels of the picture."""
    left, top, width, height = window
    local = window_of([each - (left, top) for each in seen], (height, width), margin)
    return (local[0] + left, local[1] + top, local[2], local[3]) if local else None


def _marked(scene: Scene, face: Light, mark: Mark, x: Values, y: Values, window: Window) -> None:
    seen = [scene.eye.see(outline) for outline in mark.outlines]
    part = _clipped(seen, window)
    if not part:
        return
    cover = covered(seen, part)
    here = _part(face, part, window)
    px, py = _part(x, part, window), _part(y, part, window)
    flat = (0.0, 0.0, 1.0)
    if mark.film:
        _edged(scene, here, mark, mark.film, cover, part)
    finish = Finish("paint", mark.colour, 0.0, (0.08, 0.08), 0.0)
    here += (cover * mark.density)[..., None] * (shaded(scene, finish, px, py, flat) - here)
    if mark.gloss:
        here += (cover * mark.gloss * scene.lighting.mirrored(px, py, flat, (0.08, 0.08)))[
            ..., None
        ]


def _edged(scene: Scene, here: Light, mark: Mark, film: Film, cover: Layer, part: Window) -> None:
    """The shadow of film beside it, and the dull line of its edge and of the glue along that."""
    thrown = [scene.eye.see(scene.lighting.shadow(each, film.thickness)) for each in mark.outlines]
    shadow = np.maximum(covered(thrown, part) - cover, 0)
    wide = [scene.eye.see(grown(each, 0.04)) for each in mark.outlines]
    rim = np.maximum(covered(wide, part) - cover, 0)
    dark = (1 - 0.45 * shadow) * (1 - 0.25 * rim)
    if film.clear:  # its own edge bends the light aside
        within = [scene.eye.see(grown(each, -0.05)) for each in mark.outlines]
        dark *= 1 - 0.4 * np.maximum(cover - covered(within, part), 0)
    here *= dark[..., None]


def _bevelled(scene: Scene, face: Light, x: Values, y: Values, window: Window) -> None:
    """The deburred edge of the outline: a narrow slope, each stretch of it facing its own way."""
    plate, eye = scene.plate, scene.eye
    if not plate.bevel:
        return
    outer, inner = plate.outline, grown(plate.outline, -plate.bevel)
    way = np.roll(outer, -1, axis=0) - outer
    facing = np.degrees(np.arctan2(-way[:, 0], way[:, 1])) % 360
    sector = np.round(facing / 15).astype(int) % 24
    begins = np.flatnonzero(sector != np.roll(sector, 1))
    finish = _worked(scene.finish.colour, scene.finish.metallic)
    count = len(outer)
    for begin, end in zip(begins, np.roll(begins, -1), strict=True):
        on = np.arange(begin, end + 1 if end > begin else end + count + 1) % count
        seen = [np.concatenate([eye.see(outer[on], -plate.edge_depth), eye.see(inner[on])[::-1]])]
        part = _clipped(seen, window)
        if not part:
            continue
        turn = np.radians(sector[begin] * 15)
        normal = (SLANT * float(np.cos(turn)), SLANT * float(np.sin(turn)), STEEP)
        here = _part(face, part, window)
        tone = shaded(scene, finish, _part(x, part, window), _part(y, part, window), normal)
        here += covered(seen, part)[..., None] * (tone - here)


def _burred(
    scene: Scene,
    hole: RealHole,
    face: Light,
    x: Values,
    y: Values,
    window: Window,
    rng: np.random.Generator,
) -> None:
    """The turned-up lip of a hole that was not deburred: uneven, bright or dark by the light."""
    turns = np.arange(len(hole.rim)) / len(hole.rim) * 2 * np.pi
    uneven = 0.55 + sum(
        rng.normal() * 0.25 / k**0.5 * np.cos(k * turns + rng.uniform(0, 7)) for k in range(1, 9)
    )
    width = hole.burr * np.clip(uneven, 0.08, 1.5)
    middle = np.array(hole.at)
    out = hole.rim - middle
    lip = middle + out * (1 + width / np.linalg.norm(out, axis=1))[:, None]
    seen = [scene.eye.see(lip)]
    part = _clipped(seen, window)
    if not part:
        return
    px, py = _part(x, part, window), _part(y, part, window)
    dx, dy = px - hole.at[0], py - hole.at[1]
    far = np.maximum(np.hypot(dx, dy), 1e-3)
    finish = _worked(scene.walls, _bare(scene))
    tone = shaded(scene, finish, px, py, (0.6 * dx / far, 0.6 * dy / far, 0.8))
    here = _part(face, part, window)
    here += covered(seen, part)[..., None] * (tone - here) * 0.85


# --- Edges and holes ---


def _over(scene: Scene, light: Light, face: Light, window: Window) -> None:
    """The plate laid over what is beneath it, with as much of its outer wall as is seen."""
    plate, eye = scene.plate, scene.eye
    # What is broken off its edge is seen from aside; of an edge beyond the eye, more than of one
    # that the front hides.
    front = covered([eye.see(plate.outline, -plate.edge_depth)], window)
    front = np.maximum(front, covered([eye.see(grown(plate.outline, -plate.bevel))], window))
    back = covered([eye.see(plate.outline, -plate.thickness)], window)
    wall = np.maximum(back - front, 0)
    light *= (1 - np.maximum(front, back))[..., None]
    light += face * front[..., None]
    tone = 0.5 * np.array(scene.finish.colour, np.float32)
    light += wall[..., None] * tone


def _bored(
    scene: Scene,
    hole: RealHole,
    light: Light,
    face: Light,
    beneath: Light,
    places: tuple[Values, Values],
    window: Window,
    rng: np.random.Generator,
) -> None:
    """A hole through the plate: its chamfer, the wall as far as it is seen, what is beneath."""
    eye, thickness = scene.eye, scene.plate.thickness
    depths = [0.0, hole.chamfer] if hole.chamfer else [0.0]
    depths += [float(d) for d in np.linspace(hole.chamfer, thickness, 6)[1:]]
    rims = [eye.see(hole.at_depth(depth, thickness), -depth) for depth in depths]
    part = _clipped(rims, window)
    if not part:
        return
    here = _part(light, part, window)
    x, y = (_part(each, part, window) for each in places)
    dx, dy = x - hole.at[0], y - hole.at[1]
    far = np.maximum(np.hypot(dx, dy), 1e-3)
    ux, uy = dx / far, dy / far
    spread = _streaked(ux, uy, rng)
    hidden = 1 - covered([rims[0]], part)
    here *= 0
    here += _part(face, part, window) * hidden[..., None]
    for k in range(1, len(rims)):
        more = np.maximum(hidden, 1 - covered([rims[k]], part))
        if hole.chamfer and k == 1:
            finish = _worked(scene.walls, _bare(scene), 0.12)
            tone = shaded(scene, finish, x, y, (-0.707 * ux, -0.707 * uy, 0.707))
        else:
            tone = _wall(scene, hole, (depths[k - 1] + depths[k]) / 2, x, y, ux, uy)
        here += tone * ((more - hidden) * (spread if k > 1 or not hole.chamfer else 1))[..., None]
        hidden = more
    here += _part(beneath, part, window) * (1 - hidden)[..., None]


def _wall(
    scene: Scene, hole: RealHole, depth: float, x: Values, y: Values, ux: Values, uy: Values
) -> Light:
    """The light of the wall at a depth: darker further down, lit where the lamp reaches it."""
    a, b = scene.lighting.slope
    radius = hole.radius
    sx, sy = ux * radius + a * depth, uy * radius + b * depth
    lit = np.clip((radius - np.hypot(sx, sy)) * 3 + 0.5, 0, 1)
    falling = scene.lighting.on(x, y, (-ux, -uy, 0.0), lit)
    deep = 1 - 0.6 * depth / scene.plate.thickness
    whole = deep * (0.55 * falling + 0.12)
    return np.asarray(whole[..., None] * np.array(scene.walls, np.float32), np.float32)


def _streaked(ux: Values, uy: Values, rng: np.random.Generator) -> Values:
    """The streaks that a drill leaves along the wall."""
    turn = np.arctan2(uy, ux)
    out = np.ones_like(turn)
    for k in (3, 7, 13, 23):
        out += 0.12 * np.cos(k * turn + rng.uniform(0, 7))
    return np.asarray(out, np.float32)
