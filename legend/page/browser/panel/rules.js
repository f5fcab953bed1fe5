/** Draw the two rules along the edges of the board, their nought at the datum. */

import { draw } from "../elements.js";
import { figure, steps } from "./lengths.js";

const MOST_LINES = 2000;

export class Rules {
  constructor(across, upright) {
    Object.assign(this, { across, upright });
    for (const rule of [across, upright]) {
      rule.replaceChildren(draw("path", { class: "ticks" }), draw("g", { class: "figures" }), draw("path", { class: "pointer" }));
    }
  }

  /** Draw both for what the board shows: `view` has `left`, `top`, `scale`, `width`, `height`. */
  show(drawing, view) {
    this.#rule(this.across, drawing, view, {
      long: view.width,
      deep: this.across.clientHeight,
      at: (mm) => (drawing.datum[0] + drawing.axes[0] * mm - view.left) * view.scale,
      of: (pixel) => (pixel / view.scale + view.left - drawing.datum[0]) * drawing.axes[0],
      line: (along, depth, deep) => `M${along} ${deep - depth}V${deep}`,
      words: (along, deep) => ({ x: along + 3, y: 10 }),
    });
    const top = drawing.box[3];
    this.#rule(this.upright, drawing, view, {
      long: view.height,
      deep: this.upright.clientWidth,
      at: (mm) => (top - (drawing.datum[1] + drawing.axes[1] * mm) - view.top) * view.scale,
      of: (pixel) => (top - (pixel / view.scale + view.top) - drawing.datum[1]) * drawing.axes[1],
      line: (along, depth, deep) => `M${deep - depth} ${along}H${deep}`,
      words: (along, deep) => ({ x: 2, y: along - 3 }),
    });
  }

  /** Show where the pointer is, in pixels of the board; null where it is elsewhere. */
  point(at) {
    const [across, upright] = [this.across, this.upright].map((rule) => rule.querySelector(".pointer"));
    across.setAttribute("d", at ? `M${at[0]} 0V${this.across.clientHeight}` : "");
    upright.setAttribute("d", at ? `M0 ${at[1]}H${this.upright.clientWidth}` : "");
  }

  #rule(rule, drawing, view, { long, deep, at, of, line, words }) {
    const { fine, middle, figures } = steps(drawing.units, view.scale);
    const [low, high] = [of(0), of(long)].sort((a, b) => a - b);
    const [first, last] = [Math.floor(low / fine), Math.ceil(high / fine)];
    const data = [];
    const texts = [];
    if (last - first < MOST_LINES) {
      for (let step = first; step <= last; step += 1) {
        const mm = step * fine;
        const along = Math.round(at(mm)) + 0.5;
        const isFigure = whole(mm / figures);
        data.push(line(along, isFigure ? deep : whole(mm / middle) ? deep * 0.42 : deep * 0.24, deep));
        if (isFigure) texts.push(draw("text", words(along, deep), figure(mm, drawing.units)));
      }
    }
    rule.querySelector(".ticks").setAttribute("d", data.join(""));
    rule.querySelector(".figures").replaceChildren(...texts);
  }
}

const whole = (value) => Math.abs(value - Math.round(value)) < 1e-6;
