/** Draw over the panel what was seen in a picture: its outlines, and beside them a word. */

import { draw } from "../elements.js";

/** In pixels: how tall words are, how wide a letter about is, how far things stand off each other. */
const TALL = 12;
const WIDE = 6.6;
const OFF = 5;
const CROSS = 5;

export class OverPanel {
  constructor(panel) {
    this.panel = panel;
  }

  show({ things, top, of }) {
    this.panel.rings.set("seen", () => {
      const board = this.panel.board;
      const [, , , now] = board.drawing.box;
      const scale = board.seen.scale;
      const worst = [...things].reverse();
      return [
        draw("g", { transform: `translate(0 ${now - top})` },
          ...worst.map((thing) => lines(thing, of, top, scale))),
        ...words(things.filter(({ standing, wanted }) => standing !== "true" || (of === "holes" && !wanted)),
          of, board),
      ];
    });
  }

  hide() {
    this.panel.rings.clear("seen");
  }
}

function lines(thing, of, top, scale) {
  const { standing, wanted, seen } = thing;
  const group = draw("g", { class: `seen-${standing}` });
  const off = OFF / scale;
  if (of === "letters") group.append(...pen(around(thing, top, off)));
  if (of === "letters") group.append(...fine(wanted, "wanted"), ...fine(seen, "found"));
  else if (standing === "missing") group.append(...pen(wanted));
  if (standing === "missing") group.append(...pen(struck(thing.box, top)));
  if (standing === "extra") group.append(...pen(around(thing, top, off)));
  else if (of === "holes") group.append(...pen(seen));
  if (of === "holes" && ["true", "doubtful"].includes(standing)) group.append(...pen(cross(thing.at, top, CROSS / scale)));
  return group;
}

/** A line that is seen on light and on dark: a wide one under a narrow one. */
function pen(d) {
  return [...fine(d, "halo"), ...fine(d, "pen")];
}

/** A line that stands for itself, as round letters, which a wide one would cover. */
function fine(d, name) {
  return d ? [draw("path", { class: name, d, "vector-effect": "non-scaling-stroke" })] : [];
}

function struck([x0, y0, x1, y1], top) {
  return `M${x0} ${top - y0}L${x1} ${top - y1}M${x0} ${top - y1}L${x1} ${top - y0}`;
}

function cross([x, y], top, arm) {
  return `M${x - arm} ${top - y}h${2 * arm}M${x} ${top - y - arm}v${2 * arm}`;
}

function around({ box: [x0, y0, x1, y1] }, top, off) {
  return `M${x0 - off} ${top - y1 - off}H${x1 + off}V${top - y0 + off}H${x0 - off}Z`;
}

/** The words beside things, each where none stands yet, if there is such a place. */
function words(things, of, board) {
  const taken = [];
  return things.filter((thing) => isInSight(thing, board)).map((thing) => {
    const text = label(thing, of);
    const [width, height] = [text.length * WIDE, TALL + 2];
    const [left, bottom] = board.pixel([thing.box[0], thing.box[1]]);
    const [right, top] = board.pixel([thing.box[2], thing.box[3]]);
    const middle = (left + right) / 2;
    const [above, below] = [top - 2 * OFF, bottom + TALL + OFF];
    // Legends stand above their holes, most of them.
    const heights = of === "holes" ? [below, above] : [above, below];
    const x0 = Math.max(width / 2 + 2, Math.min(board.seen.width - width / 2 - 2, middle));
    const places = [...heights, above - height, below + height].map((y) => [x0, y]);
    const free = places.find((place) => taken.every((other) =>
      Math.abs(other.x - place[0]) > (other.width + width) / 2 || Math.abs(other.y - place[1]) > height));
    const [x, y] = free ?? places[0];
    taken.push({ x, y, width });
    const { seen } = board;
    return draw("text", {
      class: `seen-word seen-${thing.standing}`, "text-anchor": "middle",
      x: seen.left + x / seen.scale, y: seen.top + y / seen.scale,
      "font-size": TALL / seen.scale, "stroke-width": 4 / seen.scale,
    }, text);
  });
}

function isInSight({ box }, board) {
  const [left, bottom] = board.pixel([box[0], box[1]]);
  const [right, top] = board.pixel([box[2], box[3]]);
  return right > 0 && left < board.seen.width && bottom > 0 && top < board.seen.height;
}

/** In few words what is to be said: a piece by its number, a hole by its name. */
function label({ name, standing, short }, of) {
  if (standing === "extra") return short;
  if (of === "letters") return `${name.split(" ")[0]}: ${short}`;
  if (standing === "true") return name;
  return `${name}: ${standing === "doubtful" ? standing : short}`;
}
