/** Show the panel on its board: stages, zoom and place, and what is drawn over it. */

import { draw } from "../elements.js";
import { DrawnPaths } from "./drawn_paths.js";
import { Rules } from "./rules.js";

/** Pixels a mm at the most: a letter fills the board. */
const CLOSEST = 120;
const STEP = 1.25;

export class Board {
  /** `board` is the element that is looked at; `changed` is called when another part is seen. */
  constructor(board, rules, changed) {
    Object.assign(this, { board, changed });
    this.rules = new Rules(...rules);
    this.drawing = null;
    this.stage = "finished";
    this.view = null;
    this.saved = null;
    this.comparing = false;
    this.ghost = draw("image", { class: "ghost" });
    const shapes = draw("g");
    this.shapes = new DrawnPaths(shapes);
    // The board is the ground: what is drawn round the panel is left off.
    this.picture = draw("g", { class: "picture", "clip-path": "url(#panel-edge)" });
    this.paths = new DrawnPaths(this.picture);
    this.edge = draw("polygon");
    this.rim = draw("polygon", { class: "rim", "vector-effect": "non-scaling-stroke" });
    this.over = draw("g", { class: "over" });
    this.sheet = draw("svg", { class: "sheet", "aria-hidden": "true" },
      draw("clipPath", { id: "panel-edge" }, this.edge),
      shapes, this.ghost, this.picture, this.rim, this.over);
    board.append(this.sheet);
    this.#handle();
    new ResizeObserver(() => this.#place()).observe(board);
  }

  /** Show a drawing; zoom, place and stage stay as they are. */
  show(drawing) {
    const first = this.drawing === null;
    this.drawing = drawing;
    if (!(this.stage in drawing.stages)) this.stage = Object.keys(drawing.stages)[0];
    this.shapes.show(drawing.shapes);
    const corners = drawing.edge.map((corner) => this.drawn(corner).join(" ")).join(" ");
    for (const each of [this.edge, this.rim]) each.setAttribute("points", corners);
    this.#paint();
    if (first) this.view = null;
    this.#place();
  }

  /** Show another stage. */
  turnTo(stage) {
    this.stage = stage;
    this.#paint();
  }

  /** The stage so many further on, or the last one there is. */
  stageAfter(steps) {
    const stages = Object.keys(this.drawing.stages);
    const at = stages.indexOf(this.stage) + steps;
    return stages[Math.max(0, Math.min(stages.length - 1, at))];
  }

  /** Show the panel as it was saved under the one of now, or do not. */
  compare(comparing) {
    this.comparing = comparing;
    this.#paint();
  }

  /** What the board shows: its size in pixels, its upper left corner in the drawing, pixels a mm. */
  get seen() {
    // Before the page is laid out the board has no size, by which nothing could be divided.
    const [width, height] = [Math.max(1, this.board.clientWidth), Math.max(1, this.board.clientHeight)];
    const [x, y, w, h] = this.drawing.view_box;
    const fit = Math.min(width / w, height / h);
    const { scale, middle } = this.view ?? { scale: fit, middle: [x + w / 2, y + h / 2] };
    return {
      width,
      height,
      scale,
      fit,
      left: middle[0] - width / 2 / scale,
      top: middle[1] - height / 2 / scale,
      middle,
    };
  }

  get whole() {
    return this.view === null;
  }

  /** Show the whole panel. */
  fit() {
    this.view = null;
    this.#place();
  }

  /** Show it at so many pixels a mm, round a place of the board that stays where it is. */
  zoomTo(scale, at = null) {
    const seen = this.seen;
    const [x, y] = at ?? [seen.width / 2, seen.height / 2];
    const next = Math.max(seen.fit / 4, Math.min(CLOSEST, scale));
    const fixed = [seen.left + x / seen.scale, seen.top + y / seen.scale];
    this.view = {
      scale: next,
      middle: [fixed[0] - (x - seen.width / 2) / next, fixed[1] - (y - seen.height / 2) / next],
    };
    this.#place();
  }

  zoom(steps, at = null) {
    this.zoomTo(this.seen.scale * STEP ** steps, at);
  }

  /** Push the panel so many pixels. */
  push(dx, dy) {
    const { scale, middle } = this.seen;
    this.view = { scale, middle: [middle[0] - dx / scale, middle[1] - dy / scale] };
    this.#place();
  }

  /** Bring a point of the panel into sight, if it is not. */
  reveal(point) {
    const [x, y] = this.pixel(point);
    const { width, height, scale } = this.seen;
    const inside = x > 12 && y > 12 && x < width - 12 && y < height - 12;
    if (inside || this.view === null) return;
    this.view = { scale, middle: this.drawn(point) };
    this.#place();
  }

  /** A point of the panel in the drawing, whose y is turned over. */
  drawn([x, y]) {
    return [x, this.drawing.box[3] - y];
  }

  /** A point of the panel in pixels of the board. */
  pixel(point) {
    const [x, y] = this.drawn(point);
    const { left, top, scale } = this.seen;
    return [(x - left) * scale, (y - top) * scale];
  }

  /** The point of the panel that lies under pixels of the board. */
  point([x, y]) {
    const { left, top, scale } = this.seen;
    return [left + x / scale, this.drawing.box[3] - (top + y / scale)];
  }

  /** The pixels of the board that an event is about. */
  pixelOf(event) {
    const box = this.board.getBoundingClientRect();
    return [event.clientX - box.left - this.board.clientLeft, event.clientY - box.top - this.board.clientTop];
  }

  /** Take the drawing of now for the one that was saved. */
  keepAsSaved() {
    if (this.drawing) this.saved = this.drawing;
    if (this.comparing) this.#paint();
  }

  #paint() {
    if (!this.drawing) return;
    this.paths.show(this.drawing.stages[this.stage]);
    const ghost = this.comparing && this.saved;
    this.picture.classList.toggle("over-ghost", Boolean(ghost));
    if (ghost) this.#haunt();
    this.ghost.classList.toggle("hidden", !ghost);
  }

  /** What was saved is shown as a picture, so that its names are not taken for those of now. */
  #haunt() {
    const [x, y, width, height] = this.saved.view_box;
    const stage = this.saved.stages[this.stage] ?? "";
    const corners = this.saved.edge.map(([cx, cy]) => `${cx} ${this.saved.box[3] - cy}`).join(" ");
    const text = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="${x} ${y} ${width} ${height}">`
      + `<clipPath id="panel-edge"><polygon points="${corners}"/></clipPath>`
      + `${this.saved.shapes}<g clip-path="url(#panel-edge)">${stage}</g></svg>`;
    const top = this.drawing.box[3] - this.saved.box[3];
    for (const [name, value] of Object.entries({ x, y: y + top, width, height })) {
      this.ghost.setAttribute(name, value);
    }
    this.ghost.setAttribute("href", `data:image/svg+xml;charset=utf-8,${encodeURIComponent(text)}`);
  }

  #place() {
    const hasSize = this.board.clientWidth > 0 && this.board.clientHeight > 0;
    if (!this.drawing || !hasSize) return;
    const seen = this.seen;
    const size = [seen.width / seen.scale, seen.height / seen.scale];
    this.sheet.setAttribute("viewBox", `${seen.left} ${seen.top} ${size[0]} ${size[1]}`);
    this.rules.show(this.drawing, seen);
    this.board.classList.toggle("closer", this.view !== null);
    this.changed();
  }

  #handle() {
    const held = new Map();
    let spread = 0;
    this.dragged = false;
    this.board.addEventListener("wheel", (event) => {
      if (!this.drawing) return;
      event.preventDefault();
      this.zoom(-Math.sign(event.deltaY) * Math.min(1, Math.abs(event.deltaY) / 60), this.pixelOf(event));
    }, { passive: false });
    this.board.addEventListener("pointerdown", (event) => {
      held.set(event.pointerId, this.pixelOf(event));
      if (held.size === 1) this.dragged = false;
      spread = apart(held);
    });
    this.board.addEventListener("pointermove", (event) => {
      const before = held.get(event.pointerId);
      if (!before || !this.drawing) return;
      const now = this.pixelOf(event);
      const move = [now[0] - before[0], now[1] - before[1]];
      if (held.size === 1 && !this.dragged && Math.hypot(...move) < 5) return;
      this.dragged = true;
      held.set(event.pointerId, now);
      if (held.size === 1) {
        if (event.pointerType !== "touch" || this.view) this.push(...move);
        return;
      }
      const wide = apart(held);
      if (spread && wide) this.zoomTo((this.seen.scale * wide) / spread, middleOf(held));
      spread = wide;
    });
    for (const end of ["pointerup", "pointercancel", "pointerleave"]) {
      this.board.addEventListener(end, (event) => {
        held.delete(event.pointerId);
        spread = apart(held);
      });
    }
  }
}

function apart(held) {
  if (held.size < 2) return 0;
  const [[x0, y0], [x1, y1]] = held.values();
  return Math.hypot(x1 - x0, y1 - y0);
}

function middleOf(held) {
  const [[x0, y0], [x1, y1]] = held.values();
  return [(x0 + x1) / 2, (y0 + y1) / 2];
}

