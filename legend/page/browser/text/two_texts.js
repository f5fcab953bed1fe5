/** Show two texts side by side, and let the user keep his, take the other, or choose by lines. */

import { button, byId, counted, make } from "../elements.js";
import { differences } from "./merging.js";

/** Lines that are shown round those that differ. */
const AROUND = 2;
const WAYS = [["mine", "mine"], ["theirs", "theirs"], ["both", "both, mine first"]];

export class TwoTexts {
  /** `settle` is called with the text that the user settled on. */
  constructor(settle) {
    this.settle = settle;
    this.place = byId("two-texts");
    this.shown = null;
  }

  hide() {
    this.place.hidden = true;
    this.shown = null;
  }

  /** Offer what was typed earlier and never saved: it stands there, and can give way to the file. */
  offer(words, drop) {
    if (this.offered) return;
    this.offered = true;
    this.shown = null;
    this.place.replaceChildren(
      make("h2", { id: "two-texts-head", tabindex: -1 }, "Typed earlier"),
      make("p", {}, words),
      make("div", { class: "row" },
        button("Keep it", () => this.hide()),
        button("Go back to what the file says", () => {
          this.hide();
          drop();
        })));
    this.place.hidden = false;
  }

  /** Show what differs; the choice stays as long as both texts do.
   *
   * What `base`, the text that both grew out of, has as the user has it, is what the other changed
   * alone: there theirs is chosen to begin with, and elsewhere mine.
   */
  show(mine, theirs, words, base) {
    if (this.shown?.mine === mine && this.shown?.theirs === theirs) return;
    const first = this.place.hidden;
    this.shown = { mine, theirs };
    const [own, other] = [mine.split("\n"), theirs.split("\n")];
    const typed = base === null ? [] : differences(base.split("\n"), own);
    const untouched = (run) => base !== null && !typed.some((each) => each.b0 <= run.a1 && run.a0 <= each.b1);
    const runs = differences(own, other).map((run) => ({ ...run, choice: untouched(run) ? "theirs" : "mine" }));
    const fields = runs.map((run, at) => this.#field(run, at, own, other, runs.length));
    this.place.replaceChildren(
      make("h2", { id: "two-texts-head", tabindex: -1 }, "Two texts"),
      make("p", {}, words),
      make("p", {}, `They differ in ${counted(runs.length, "place", "places")}. `
        + "Nothing is written before you have chosen."),
      make("div", { class: "row" },
        button("Keep all of mine", () => this.settle(mine)),
        button("Take all of theirs", () => this.settle(theirs)),
        button("Use what is chosen below", () => this.settle(this.#chosen(own, other, runs)))),
      ...fields);
    this.place.hidden = false;
    if (first) byId("two-texts-head").focus();
  }

  #field(run, at, own, other, count) {
    const about = run.a1 > run.a0 ? `line ${run.a0 + 1}` : `after line ${run.a0}`;
    const choices = WAYS.map(([value, words]) =>
      make("label", {},
        make("input", { type: "radio", name: `choice-${at}`, value, checked: value === run.choice }),
        ` ${words}`));
    const before = own.slice(Math.max(0, run.a0 - AROUND), run.a0);
    const after = own.slice(run.a1, run.a1 + AROUND);
    return make("fieldset", { class: "choice" },
      make("legend", {}, `Place ${at + 1} of ${count}, ${about}`),
      make("div", { class: "row" }, ...choices),
      make("div", { class: "sides" },
        this.#side("Mine", before, own.slice(run.a0, run.a1), after),
        this.#side("Theirs", before, other.slice(run.b0, run.b1), after)));
  }

  #side(title, before, lines, after) {
    const plain = (line) => make("div", { class: "same" }, line || " ");
    const own = lines.map((line) => make("div", { class: "differs" }, line || " "));
    const none = make("div", { class: "differs none" }, "(no such lines)");
    return make("div", { class: "side", role: "group", "aria-label": title },
      make("h3", {}, title),
      make("div", { class: "code" }, ...before.map(plain), ...(own.length ? own : [none]), ...after.map(plain)));
  }

  #chosen(own, other, runs) {
    const out = [];
    let at = 0;
    runs.forEach((run, n) => {
      const choice = this.place.querySelector(`input[name="choice-${n}"]:checked`).value;
      out.push(...own.slice(at, run.a0));
      if (choice !== "theirs") out.push(...own.slice(run.a0, run.a1));
      if (choice !== "mine") out.push(...other.slice(run.b0, run.b1));
      at = run.a1;
    });
    return [...out, ...own.slice(at)].join("\n");
  }
}
