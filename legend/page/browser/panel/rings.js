/** Draw over the panel what is pointed at: rings round holes, places of findings, pieces, marks. */

import { draw } from "../elements.js";

/** In pixels: how far a frame stands off, how round its corners are. */
const MARGIN = 5;
const FRAME = 8;
/** A box whose sides differ by less, mm, is that of a round part. */
const ROUND = 0.05;
const PLACE = 13;

export class Rings {
  constructor(board) {
    this.board = board;
    this.layers = new Map();
    for (const name of ["seen", "caret", "stepped", "piece", "finding", "measure", "picked"]) {
      const layer = draw("g", { class: name });
      this.layers.set(name, { layer, paint: () => [] });
      board.over.append(layer);
    }
  }

  /** Draw a layer anew whenever another part of the panel is seen; `paint` gives its elements. */
  set(name, paint) {
    this.layers.get(name).paint = paint;
    this.#draw(name);
  }

  clear(name) {
    this.set(name, () => []);
  }

  again() {
    for (const name of this.layers.keys()) this.#draw(name);
  }

  /** A ring round a hole and what covers it, or a frame where that is not round. */
  hole({ box, diameter }) {
    const isRound = diameter > 0 && Math.abs(box[2] - box[0] - (box[3] - box[1])) < ROUND;
    return this.frame(box, isRound ? Infinity : FRAME);
  }

  /** A frame round a box of the panel, a few pixels off it, its corners so round. */
  frame([x0, y0, x1, y1], corner = FRAME) {
    const scale = this.board.seen.scale;
    const off = MARGIN / scale;
    const [left, top] = this.board.drawn([x0, y1]);
    const [width, height] = [x1 - x0 + 2 * off, y1 - y0 + 2 * off];
    const rx = Math.min(width / 2, height / 2, corner / scale);
    return twice("rect", { x: left - off, y: top - off, width, height, rx });
  }

  /** A ring round a place, with a cross. */
  place(point) {
    const r = PLACE / this.board.seen.scale;
    const [x, y] = this.board.drawn(point);
    const arms = [[r, 0], [-r, 0], [0, r], [0, -r]]
      .map(([dx, dy]) => `M${x + dx} ${y + dy}l${dx * 0.5} ${dy * 0.5}`).join("");
    const ring = `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`;
    return twice("path", { d: ring + arms });
  }

  /** A line between two points, with a short stroke across each end. */
  span(from, to) {
    const [[x0, y0], [x1, y1]] = [this.board.drawn(from), this.board.drawn(to)];
    const long = Math.hypot(x1 - x0, y1 - y0) || 1;
    const end = 6 / this.board.seen.scale / long;
    const [dx, dy] = [-(y1 - y0) * end, (x1 - x0) * end];
    const strokes = [[x0, y0], [x1, y1]].map(([x, y]) => `M${x - dx} ${y - dy}L${x + dx} ${y + dy}`).join("");
    return twice("path", { d: `M${x0} ${y0}L${x1} ${y1}${strokes}` });
  }

  /** An outline that the server gave. */
  outline(data) {
    return data ? twice("path", { d: data }) : [];
  }

  #draw(name) {
    const { layer, paint } = this.layers.get(name);
    layer.replaceChildren(...(this.board.drawing ? paint().flat() : []));
  }
}

/** A line that is seen on light and on dark paint: a wide one under a narrow one. */
function twice(tag, attributes) {
  return ["halo", "pen"].map((name) => draw(tag, { class: name, "vector-effect": "non-scaling-stroke", ...attributes }));
}
