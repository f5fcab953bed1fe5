/** Measure between two holes or edges: by two clicks, or by two lists. */

import { byId, make } from "../elements.js";
import { said } from "./lengths.js";

const EDGES = { left: "left edge", right: "right edge", top: "top edge", bottom: "bottom edge" };
/** An edge is meant by a click that is no further off, in pixels. */
const NEAR = 16;

export class Measuring {
  constructor(board, rings) {
    Object.assign(this, { board, rings });
    this.lists = [byId("measure-from"), byId("measure-to")];
    this.result = byId("measured");
    this.next = 0;
    for (const list of this.lists) list.addEventListener("change", () => this.#show());
  }

  get on() {
    return !byId("measure").hidden;
  }

  turn(on) {
    byId("measure").hidden = !on;
    this.next = 0;
    if (on) this.#show();
    else this.rings.clear("measure");
  }

  /** Offer what can be measured from on a drawing; what was chosen stays, where it is still there. */
  offer(drawing) {
    const options = () => [
      make("option", { value: "" }, "nothing yet"),
      ...Object.entries(EDGES).map(([edge, words]) => make("option", { value: `edge ${edge}` }, words)),
      ...drawing.holes.map((hole) => make("option", { value: `hole ${hole.id}` }, hole.id)),
    ];
    for (const list of this.lists) {
      const chosen = list.value;
      list.replaceChildren(...options());
      list.value = [...list.options].some((each) => each.value === chosen) ? chosen : "";
    }
    if (this.on) this.#show();
  }

  /** Take what lies nearest to a click as the one end, and then the other. */
  click(pixel) {
    if (this.next === 0) this.lists[1].value = "";
    this.lists[this.next].value = this.#nearest(pixel);
    this.next = 1 - this.next;
    this.#show();
  }

  #nearest([x, y]) {
    const { drawing } = this.board;
    const [px, py] = this.board.point([x, y]);
    const inside = drawing.holes
      .filter(({ box }) => px >= box[0] && px <= box[2] && py >= box[1] && py <= box[3])
      .map((hole) => [Math.hypot(hole.at[0] - px, hole.at[1] - py), `hole ${hole.id}`]);
    if (inside.length) return inside.sort((a, b) => a[0] - b[0])[0][1];
    const [x0, y0, x1, y1] = drawing.box;
    const edges = [
      [Math.abs(px - x0), "edge left"], [Math.abs(px - x1), "edge right"],
      [Math.abs(py - y0), "edge bottom"], [Math.abs(py - y1), "edge top"],
    ].sort((a, b) => a[0] - b[0]);
    if (edges[0][0] * this.board.seen.scale < NEAR) return edges[0][1];
    const holes = drawing.holes.map((hole) => [
      Math.hypot(hole.at[0] - px, hole.at[1] - py), `hole ${hole.id}`]);
    return [...holes, ...edges].sort((a, b) => a[0] - b[0])[0][1];
  }

  #show() {
    const ends = this.lists.map((list) => this.#end(list.value));
    const { words, span } = this.board.drawing ? this.#between(...ends) : { words: "", span: null };
    this.result.textContent = words;
    this.rings.set("measure", () => {
      const drawn = span ? this.rings.span(...span) : [];
      const holes = ends.filter((end) => end?.hole).map((end) => this.rings.place(end.hole.at));
      return [...drawn, ...holes];
    });
  }

  #end(value) {
    const [sort, name] = [value.slice(0, 4), value.slice(5)];
    if (sort === "edge") return { edge: name };
    const hole = this.board.drawing?.holes.find((each) => each.id === name);
    return hole && sort === "hole" ? { hole } : null;
  }

  #between(from, to) {
    const { units, box } = this.board.drawing;
    const length = (mm) => said(Math.abs(mm), units);
    if (!from || !to) return { words: "Click two holes or edges, or choose them here.", span: null };
    if (from.hole && to.hole) {
      const [[ax, ay], [bx, by]] = [from.hole.at, to.hole.at];
      const rims = apart(from.hole, to.hole);
      const words = `${length(Math.hypot(bx - ax, by - ay))} from middle to middle: `
        + `${length(bx - ax)} across, ${length(by - ay)} up and down`
        + `${rims > 0 ? `; ${length(rims)} from rim to rim` : ""}.`;
      return { words, span: [from.hole.at, to.hole.at] };
    }
    const at = { left: box[0], right: box[2], bottom: box[1], top: box[3] };
    const upright = (edge) => edge === "left" || edge === "right";
    if (from.edge && to.edge) {
      if (upright(from.edge) !== upright(to.edge)) return { words: "These two edges meet.", span: null };
      const [a, b] = [at[from.edge], at[to.edge]];
      const middle = upright(from.edge) ? (box[1] + box[3]) / 2 : (box[0] + box[2]) / 2;
      const span = upright(from.edge) ? [[a, middle], [b, middle]] : [[middle, a], [middle, b]];
      return { words: `${length(b - a)} from edge to edge.`, span };
    }
    const [hole, edge] = from.hole ? [from.hole, to.edge] : [to.hole, from.edge];
    const foot = upright(edge) ? [at[edge], hole.at[1]] : [hole.at[0], at[edge]];
    const far = Math.hypot(hole.at[0] - foot[0], hole.at[1] - foot[1]);
    const rim = upright(edge) ? fromRim(hole, 0, at[edge]) : fromRim(hole, 1, at[edge]);
    const words = `${length(far)} from the middle of ${hole.id} to the ${EDGES[edge]}, `
      + `${length(rim)} from its rim.`;
    return { words, span: [hole.at, foot] };
  }
}

/** How far the rim of a hole is from a line across (axis 0) or along (axis 1) the panel. */
function fromRim({ at, diameter, rim }, axis, edge) {
  if (diameter > 0) return Math.max(0, Math.abs(at[axis] - edge) - diameter / 2);
  return Math.min(...rim.map((corner) => Math.abs(corner[axis] - edge)));
}

/** How far it is from the rim of one hole to that of another. */
function apart(one, other) {
  const radii = (one.diameter + other.diameter) / 2;
  const [a, b] = [one, other].map(({ at, diameter, rim }) => (diameter > 0 ? [at] : rim));
  return Math.max(0, Math.min(nearest(a, b), nearest(b, a)) - radii);
}

/** How near any of the points comes to a closed line through the others. */
function nearest(points, line) {
  return Math.min(...points.flatMap((point) =>
    line.map((begin, at) => toSegment(point, begin, line[(at + 1) % line.length]))));
}

function toSegment([x, y], [ax, ay], [bx, by]) {
  const [dx, dy] = [bx - ax, by - ay];
  const long = dx * dx + dy * dy;
  const part = long > 0 ? Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / long)) : 0;
  return Math.hypot(x - ax - part * dx, y - ay - part * dy);
}
