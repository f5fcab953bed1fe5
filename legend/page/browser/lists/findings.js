/** List what was found in three heaps, mark its lines, and let what was guessed be answered. */

import { button, byId, counted, make, say, worded } from "../elements.js";
import { linesMoved } from "../text/places.js";

/** Each heap: its title, what it says when it is empty, and its sign in the margin. */
const HEAPS = {
  spoils: { title: "Would spoil it", none: "Nothing found that would spoil it.", sign: "✕" },
  look: { title: "Look at these", none: "Nothing to look at.", sign: "○" },
  granted: { title: "Taken for granted", none: "Nothing was taken for granted.", sign: "≈" },
};
const WORST_FIRST = Object.keys(HEAPS);

export class Findings {
  /** `shown` is called with a finding to go to, `still` with what it is now, if it is; `answered`
   * with one, its revision and the answer.
   */
  constructor({ shown, still, answered }) {
    Object.assign(this, { shown, still, answered });
    this.found = [];
    this.lines = [];
    this.text = "";
    this.revision = -1;
    this.at = -1;
  }

  /** Show what was found in a text, that of a revision; by this and its number each is known. */
  show(found, revision, text) {
    Object.assign(this, { revision, text });
    const focused = document.activeElement?.dataset?.finding;
    const chosen = document.querySelector(".finding.chosen [data-finding]")?.dataset.finding;
    const typed = this.#typed();
    this.found = [...found].sort((a, b) => WORST_FIRST.indexOf(a.heap) - WORST_FIRST.indexOf(b.heap));
    this.lines = this.found.map(({ line }) => line);
    for (const heap of WORST_FIRST) {
      const of = this.found.filter((each) => each.heap === heap);
      byId(`count-${heap}`).textContent = String(of.length);
      byId(`list-${heap}`).replaceChildren(
        ...(of.length ? of.map((each) => this.#item(each)) : [make("li", { class: "none" }, HEAPS[heap].none)]));
    }
    this.#retype(typed);
    if (chosen) this.#rechoose(chosen);
    if (focused) document.querySelector(`[data-finding="${CSS.escape(focused)}"]`)?.focus({ preventScroll: true });
  }

  /** Name the lines as they are counted in the text of now. */
  follow(now) {
    const moved = linesMoved(this.text, now);
    this.found.forEach((finding, at) => {
      if (this.lines[at] > 0) finding.line = moved(this.lines[at]);
      const place = document.querySelector(`#finding-${finding.number} .where`);
      if (place && place.textContent !== whereOf(finding)) place.textContent = whereOf(finding);
    });
  }

  /** The marks of the margin, by line: the worst of each, with the words of all. */
  get marks() {
    const marks = new Map();
    for (const { heap, line, message, remedy } of this.found) {
      const words = `${message} ${remedy}`.trim();
      const before = marks.get(line);
      if (before) before.words += `\n\n${words}`;
      else marks.set(line, { sort: heap, sign: HEAPS[heap].sign, words });
    }
    return marks;
  }

  /** What was found in a line, in words. */
  inLine(line) {
    return this.found.filter((each) => each.line === line).map(({ message }) => message).join(" ");
  }

  /** Go to the next finding, or to the one before. */
  next(steps) {
    if (!this.found.length) {
      say("Nothing was found.");
      return;
    }
    this.at = (this.at + steps + this.found.length) % this.found.length;
    if (this.at < 0) this.at = this.found.length - 1;
    const finding = this.found[this.at];
    this.#go(finding);
    say(`${HEAPS[finding.heap].title}, ${this.at + 1} of ${this.found.length}. ${finding.message} ${finding.remedy}`);
  }

  #go(finding) {
    this.at = this.found.indexOf(finding);
    for (const each of document.querySelectorAll(".finding.chosen")) each.classList.remove("chosen");
    const item = byId(`finding-${finding.number}`);
    item?.classList.add("chosen");
    item?.closest("details")?.setAttribute("open", "");
    item?.scrollIntoView({ block: "nearest" });
    this.shown(finding);
  }

  /** What was gone to is shown still, where it is now; or no more, if it is mended. */
  #rechoose(chosen) {
    this.at = this.found.findIndex((each) => keyOf(each) === chosen);
    const finding = this.found[this.at];
    if (finding) byId(`finding-${finding.number}`).classList.add("chosen");
    this.still(finding);
  }

  #item(finding) {
    return make("li", { class: `finding ${finding.heap}`, id: `finding-${finding.number}` },
      make("button", {
        type: "button",
        class: "plain",
        id: `finding-words-${finding.number}`,
        "data-finding": keyOf(finding),
        on: { click: () => this.#go(finding) },
      },
      make("span", { class: "where" }, whereOf(finding)), " ", make("span", {}, ...worded(finding.message))),
      finding.remedy && !finding.question ? make("p", { class: "remedy" }, ...worded(finding.remedy)) : null,
      finding.question ? this.#question(finding) : null);
  }

  #question(finding) {
    const { words, value, unit } = finding.question;
    const box = make("input", {
      type: "text", value, size: 9, autocomplete: "off", spellcheck: "false",
      "aria-describedby": `finding-words-${finding.number}`,
      "data-question": keyOf(finding), "data-was": value,
    });
    const told = make("span", { class: "told", role: "status" });
    const { revision } = this;
    const answer = async () => {
      told.textContent = await this.answered(finding, revision, box.value.trim());
    };
    box.addEventListener("keydown", (event) => {
      if (event.key === "Enter") answer();
    });
    return make("p", { class: "question" },
      make("label", {}, `${words} `, box, unit ? ` ${unit}` : ""), " ",
      button("Write it in", answer, { "aria-describedby": `finding-words-${finding.number}` }), " ", told);
  }

  /** What stands in the boxes of questions and was not written in yet. */
  #typed() {
    return [...document.querySelectorAll("[data-question]")]
      .filter((box) => box.value !== box.dataset.was || box === document.activeElement)
      .map((box) => ({
        key: box.dataset.question, value: box.value, focused: box === document.activeElement,
      }));
  }

  #retype(typed) {
    for (const { key, value, focused } of typed) {
      const box = document.querySelector(`[data-question="${CSS.escape(key)}"]`);
      if (!box) continue;
      box.value = value;
      if (focused) box.focus({ preventScroll: true });
    }
  }
}

/** A finding is known again by this where lines above it come and go. */
const keyOf = ({ code, message }) => `${code} ${message}`;
const whereOf = ({ line }) => (line > 0 ? `Line ${line}` : "The panel");

/** How many there are of each sort, in words. */
export function inWords(found) {
  const of = (heap) => found.filter((each) => each.heap === heap).length;
  return `${counted(of("spoils"), "thing", "things")} would spoil it, ${of("look")} to look at, `
    + `${of("granted")} taken for granted.`;
}
