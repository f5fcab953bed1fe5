/** Tell what lies under the pointer, and go from a letter to its line. */

import { pointed, said } from "./lengths.js";

/** The server is asked at most once in so many ms. */
const ASK_EVERY = 60;
/** What stands where the pointer is told of, as long as there is none. */
const HINT = "Point at the panel to see distances and sizes; click on it to go to the line.";

export class Pointing {
  /** `goTo` is called with the line of what was clicked; `overPanel` with each point, or null. */
  constructor(board, rings, connection, reading, { goTo, overPanel }) {
    Object.assign(this, { board, rings, connection, reading, goTo, overPanel });
    this.picked = null;
    this.at = null;
    this.asking = false;
    const element = board.board;
    element.addEventListener("pointermove", (event) => this.#move(board.pixelOf(event)));
    element.addEventListener("pointerleave", () => this.#leave());
    this.#tell();
  }

  /** What was clicked: go to its line. */
  async click(pixel) {
    const picked = await this.#ask(this.board.point(pixel));
    if (!picked) return;
    this.#show(picked);
    this.goTo(picked);
  }

  /** The distances of a point from the two edges that holes are measured from, in words.
   *
   * What is only pointed at is told no finer than the screen shows it, a hole as it was measured.
   */
  distances([x, y], exact = false) {
    const { datum, axes, units, box } = this.board.drawing;
    const { scale } = this.board.seen;
    const length = (mm) => (exact ? said(mm, units) : pointed(mm, units, scale));
    const part = (at, axis, names, off) => {
      const away = (at - datum[axis]) * axes[axis];
      if (Math.abs(datum[axis] - box[axis]) < 0.01) return `${length(away)} from ${names[0]}`;
      if (Math.abs(datum[axis] - box[axis + 2]) < 0.01) return `${length(away)} from ${names[1]}`;
      return `${length(Math.abs(away))} ${off[away * axes[axis] < 0 ? 1 : 0]}`;
    };
    return [
      part(x, 0, ["the left edge", "the right edge"], ["right of the datum", "left of the datum"]),
      part(y, 1, ["the bottom", "the top"], ["above the datum", "below the datum"]),
    ].join(", ");
  }

  #move(pixel) {
    if (!this.board.drawing) return;
    this.at = this.board.point(pixel);
    this.board.rules.point(pixel);
    this.overPanel(this.at);
    this.#tell();
    if (!this.asking) this.#pick();
  }

  #leave() {
    this.at = null;
    this.picked = null;
    this.board.rules.point(null);
    this.rings.clear("picked");
    this.overPanel(null);
    this.#tell();
  }

  async #pick() {
    const at = this.at;
    this.asking = true;
    const picked = await this.#ask(at);
    if (this.at !== null) this.#show(picked);
    await new Promise((next) => setTimeout(next, ASK_EVERY));
    this.asking = false;
    if (this.at !== null && this.at !== at) this.#pick();
  }

  async #ask(at) {
    try {
      const answer = await this.connection.ask({ kind: "pick", at });
      return answer.kind === "picked" ? answer : null;
    } catch {
      return null;
    }
  }

  #show(picked) {
    this.picked = picked;
    this.rings.set("picked", () => {
      if (!picked) return [];
      const gap = picked.gap_from && picked.gap_to ? this.rings.span(picked.gap_from, picked.gap_to) : [];
      return [...this.rings.outline(picked.outline), ...gap];
    });
    this.#tell();
  }

  #tell() {
    const words = [];
    if (this.at) words.push(`${this.distances(this.at)}.`);
    if (this.at && this.picked) words.push(this.picked.words);
    this.reading.textContent = words.join(" ") || HINT;
    this.reading.classList.toggle("asked-for-nothing", !words.length);
  }
}
