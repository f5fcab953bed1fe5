/** Offer what may be written at the caret, with what it means, when it is asked for. */

import { byId, make, say } from "../elements.js";
import { indexOf, placeOf } from "./places.js";

/** What is written of a word is looked for inside others from so many letters on. */
const LEAST_SOUGHT = 3;

export class Completing {
  constructor(editor, connection) {
    Object.assign(this, { editor, connection });
    this.list = byId("completions");
    this.meaning = byId("completion-meaning");
    this.box = byId("completing");
    this.words = [];
    this.shown = [];
    this.begin = 0;
    this.chosen = 0;
    editor.area.addEventListener("keydown", (event) => this.#key(event), { capture: true });
    editor.area.addEventListener("blur", () => this.close());
  }

  get open() {
    return !this.box.hidden;
  }

  /** Ask what may stand at the caret, and show it. */
  async ask() {
    const { text, caret } = this.editor;
    let answer;
    try {
      answer = await this.connection.ask({ kind: "complete", text, at: placeOf(text, caret) });
    } catch {
      say("Legend has stopped, and cannot tell what may stand here.");
      return;
    }
    if (this.editor.text !== text || answer.kind !== "completions") return;
    this.begin = indexOf(text, answer.begin);
    this.words = answer.words;
    this.chosen = 0;
    this.#show();
    if (!this.open) say("Nothing is known that could stand here.");
  }

  /** The text was changed: what begins as it now does is still offered. */
  typed() {
    if (!this.open) return;
    if (this.editor.caret < this.begin) this.close();
    else this.#show();
  }

  /** The caret was moved away. */
  moved() {
    if (this.open && this.editor.caret < this.begin) this.close();
  }

  close() {
    this.box.hidden = true;
    this.editor.area.removeAttribute("aria-activedescendant");
    this.editor.area.removeAttribute("aria-controls");
  }

  #show() {
    const begun = this.editor.text.slice(this.begin, this.editor.caret).toLowerCase();
    this.shown = beginning(this.words, begun);
    if (!this.shown.length) this.shown = having(this.words, begun);
    if (!this.shown.length || begun.includes("\n")) {
      this.close();
      return;
    }
    this.chosen = Math.min(this.chosen, this.shown.length - 1);
    this.list.replaceChildren(...this.shown.map(({ word, meaning }, at) =>
      make("li", {
        id: `completion-${at}`,
        role: "option",
        on: {
          mousedown: (event) => {
            event.preventDefault();
            this.#take(at);
          },
        },
      }, make("span", { class: "word" }, word), " ", make("span", { class: "short", "aria-hidden": "true" }, meaning))));
    this.box.hidden = false;
    this.editor.area.setAttribute("aria-controls", "completions");
    this.#place();
    this.#choose(this.chosen);
  }

  #place() {
    const box = this.editor.boxAt(this.begin);
    const { offsetWidth: width, offsetHeight: height } = this.box;
    const left = Math.max(4, Math.min(box.left, innerWidth - width - 4));
    const below = box.bottom + height + 4 <= innerHeight || box.top < height;
    this.box.style.left = `${left}px`;
    this.box.style.top = `${below ? box.bottom + 2 : box.top - height - 2}px`;
  }

  #choose(at) {
    this.chosen = (at + this.shown.length) % this.shown.length;
    [...this.list.children].forEach((option, n) => {
      option.setAttribute("aria-selected", String(n === this.chosen));
    });
    this.list.children[this.chosen].scrollIntoView({ block: "nearest" });
    this.editor.area.setAttribute("aria-activedescendant", `completion-${this.chosen}`);
    const { word, meaning } = this.shown[this.chosen];
    this.meaning.textContent = meaning;
    say(`${word}. ${meaning} ${this.chosen + 1} of ${this.shown.length}.`);
  }

  #take(at) {
    const { word } = this.shown[at];
    const end = this.editor.caret;
    const begin = this.begin;
    this.close();
    this.editor.change({ begin, end, text: word }, [begin + word.length, begin + word.length]);
  }

  #key(event) {
    if (event.isComposing) return;
    if ((event.ctrlKey && event.code === "Space") || (event.altKey && event.key === "ArrowDown")) {
      event.preventDefault();
      this.ask();
      return;
    }
    if (!this.open) return;
    const far = 8;
    const steps = { ArrowDown: 1, ArrowUp: -1, PageDown: far, PageUp: -far };
    if (event.key in steps) this.#choose(this.chosen + steps[event.key]);
    else if (event.key === "Enter" || event.key === "Tab") this.#take(this.chosen);
    else if (event.key === "Escape") this.close();
    else return;
    event.preventDefault();
    event.stopPropagation();
  }
}

/** Those that begin with what is written. */
function beginning(words, begun) {
  return words.filter(({ word }) => word.toLowerCase().startsWith(begun));
}

/** Those that have its last word anywhere in them, or in what they mean. */
function having(words, begun) {
  const sought = begun.split(/[\s:]/).at(-1);
  if (sought.length < LEAST_SOUGHT) return [];
  return words.filter(({ word, meaning }) => `${word} ${meaning}`.toLowerCase().includes(sought));
}
