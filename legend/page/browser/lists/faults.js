/** Tell why the text cannot be read, under it, in a place that is kept for what is told of it. */

import { byId, make } from "../elements.js";

/** What is said beside the panel: that it is not of this text, or why there is none. */
const EARLIER = "This is the panel of the text before.";
const NONE = "The text cannot be read; what is amiss stands under it.";

export class Faults {
  /** `goTo` is called with the line of a fault that was clicked. */
  constructor(goTo) {
    this.goTo = goTo;
    this.place = byId("unread");
    this.revision = null;
    this.faults = [];
  }

  /** Whether the text of now is one that cannot be read. */
  get are() {
    return this.revision !== null;
  }

  /** Show the faults of the text of a revision; `drawn` is whether an earlier one is to be seen. */
  show({ faults, revision }, drawn) {
    Object.assign(this, { faults, revision });
    this.place.replaceChildren(...faults.map((fault) => this.#item(fault)));
    byId("earlier").hidden = false;
    byId("earlier").textContent = drawn ? EARLIER : NONE;
    this.#turn(true);
  }

  /** The text of a revision could be read: what was wrong before it is wrong no more. */
  mended(revision) {
    if (!this.are || revision < this.revision) return false;
    this.revision = null;
    this.faults = [];
    this.#turn(false);
    return true;
  }

  /** The marks of the margin, by line. */
  get marks() {
    return new Map(this.faults.filter(isOfTheText)
      .map(({ line, message }) => [line, { sort: "spoils", sign: "✕", words: message }]));
  }

  /** What was found is that of an earlier text as long as this one cannot be read. */
  #turn(unread) {
    this.place.hidden = !unread;
    byId("line-note").hidden = unread;
    byId("key-meaning").hidden = unread;
    if (!unread) byId("earlier").hidden = true;
    byId("findings-head").textContent = unread ? "Found before" : "Found";
    document.body.classList.toggle("cannot-be-read", unread);
  }

  #item(fault) {
    const { file, line, message } = fault;
    const where = line > 0 ? `${file ? `${file}, line` : "Line"} ${line}` : file;
    const words = where ? `${where}: ${message}` : message;
    if (!isOfTheText(fault)) return make("p", {}, words);
    return make("button", {
      type: "button", class: "plain", on: { click: () => this.goTo(line) },
    }, words);
  }
}

/** Whether it is a fault of a line of the description, not of a file that it names. */
const isOfTheText = ({ file, line }) => !file && line > 0;
