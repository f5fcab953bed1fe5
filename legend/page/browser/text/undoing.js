/** Keep the steps of an edited text, so that each can be undone and done again. */

/** Letters typed within this many ms of each other are undone together. */
const ONE_GO = 900;
const MOST_STEPS = 2000;

export class Undoing {
  constructor() {
    this.done = [];
    this.undone = [];
  }

  /** A step: at `begin`, `removed` gave way to `put`; the selection `before` it. */
  add(step, typed) {
    const last = this.done.at(-1);
    const time = performance.now();
    const goesOn =
      typed &&
      last?.typed &&
      time - last.time < ONE_GO &&
      last.removed === "" &&
      step.removed === "" &&
      !/\s/.test(step.put) &&
      step.begin === last.begin + last.put.length;
    this.undone = [];
    if (goesOn) {
      last.put += step.put;
      last.time = time;
      return;
    }
    this.done.push({ ...step, typed, time });
    if (this.done.length > MOST_STEPS) this.done.shift();
  }

  /** The step to be taken back, or null. */
  back() {
    const step = this.done.pop();
    if (!step) return null;
    step.typed = false;
    this.undone.push(step);
    return step;
  }

  /** The step to be done again, or null. */
  again() {
    const step = this.undone.pop();
    if (!step) return null;
    this.done.push(step);
    return step;
  }
}
