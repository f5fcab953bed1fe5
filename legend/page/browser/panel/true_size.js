/** Show the panel at its real size, by a bar that the user once held a steel rule to. */

import { byId } from "../elements.js";
import { distance } from "./lengths.js";

const BAR = "legend-bar";
const EYE = "legend-eye";
/** What a CSS pixel is taken for until a rule was held to it: 96 to an inch. */
const NOMINAL = 96 / 25.4;

export class TrueSize {
  constructor(board, words) {
    Object.assign(this, { board, words });
    this.dialog = byId("fit-bar");
    this.bar = byId("bar");
    this.slider = byId("bar-length");
    this.eye = byId("eye");
    this.slider.addEventListener("input", () => this.#stretch());
    byId("bar-shorter").addEventListener("click", () => this.#nudge(-1));
    byId("bar-longer").addEventListener("click", () => this.#nudge(1));
    this.dialog.addEventListener("close", () => this.#fitted());
  }

  /** Pixels a mm as they were fitted on this screen; null where no rule was held to it yet. */
  get scale() {
    const kept = Number(read(BAR));
    // What was fitted were pixels of the screen; the browser's own zoom changes those of the page.
    return kept > 0 ? kept / window.devicePixelRatio : null;
  }

  /** The distance from which the user looks at the screen, mm; null where it was not asked yet. */
  get eyeDistance() {
    const kept = Number(read(EYE));
    return kept > 0 ? kept : null;
  }

  real() {
    this.#with(() => this.board.zoomTo(this.scale), "at its real size");
  }

  asSeen() {
    this.#with(() => {
      const { viewing, units } = this.board.drawing;
      this.board.zoomTo((this.scale * this.eyeDistance) / viewing);
      this.words(`Shown as it will look from ${distance(viewing, units)}, with your eyes `
        + `${distance(this.eyeDistance, units)} from the screen.`);
    });
  }

  /** Ask for the bar and the distance again. */
  fit(then = null) {
    this.then = then;
    const { units } = this.board.drawing;
    this.slider.value = String((this.scale ?? NOMINAL) * 100);
    byId("eye-unit").textContent = units === "in" ? "in" : "mm";
    const eye = this.eyeDistance ?? 600;
    this.eye.value = units === "in" ? String(Math.round(eye / 25.4)) : String(Math.round(eye));
    this.dialog.showModal();
    this.#stretch();
  }

  #with(action, words = null) {
    const then = () => {
      action();
      if (words) this.words("Shown at its real size.");
    };
    if (this.scale && this.eyeDistance) then();
    else this.fit(then);
  }

  #stretch() {
    this.bar.style.width = `${this.slider.value}px`;
    this.slider.setAttribute("aria-valuetext", `The bar is ${Math.round(this.slider.value)} pixels long`);
  }

  #nudge(steps) {
    this.slider.value = String(Number(this.slider.value) + steps * Number(this.slider.step));
    this.#stretch();
  }

  #fitted() {
    const then = this.then;
    this.then = null;
    if (this.dialog.returnValue !== "fitted") return;
    write(BAR, (Number(this.slider.value) / 100) * window.devicePixelRatio);
    const eye = Number(this.eye.value) * (this.board.drawing.units === "in" ? 25.4 : 1);
    if (eye > 0) write(EYE, eye);
    if (then && this.scale && this.eyeDistance) then();
  }
}

const memory = new Map();

function read(key) {
  try {
    return localStorage.getItem(key) ?? memory.get(key);
  } catch {
    return memory.get(key);
  }
}

function write(key, value) {
  memory.set(key, String(value));
  try {
    localStorage.setItem(key, String(value));
  } catch {
    // A browser that keeps nothing is asked again next time.
  }
}
