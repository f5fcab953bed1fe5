/** Have pictures of the panel looked at: ask for them, show what was seen, and let it be taken over. */

import { button, byId, make, say } from "../elements.js";
import { Dropping } from "./dropping.js";
import { OverPanel } from "./over_panel.js";
import { sent } from "./sending.js";

/** How each standing is shown in the list: its sign, and as which sort of finding. */
const STANDINGS = {
  true: ["✓", "fine"],
  doubtful: ["?", "look"],
  off: ["✕", "spoils"],
  missing: ["✕", "spoils"],
  extra: ["✕", "spoils"],
};
/** A piece that is gone to takes up about so much of the panel's width on the screen. */
const NEAR = 0.4;
const LINES = "On the panel, blue lines are where letters are wanted, red ones where they lie.";
const FINE = { holes: "Found surely", letters: "Lie true" };

export class Pictures {
  /**
   * `revision` gives, when every letter has arrived, the revision of the text; `changedBy` has the
   * server change it; `goTo` is called with a line.
   */
  constructor(connection, panel, { revision, changedBy, goTo }) {
    Object.assign(this, { connection, panel, revision, changedBy, goTo });
    this.over = new OverPanel(panel);
    this.told = byId("pictures-told");
    this.place = byId("seen");
    this.seen = null;
    this.looks = 0;
    this.going = 0;
    new Dropping(byId("drop"), (of, files) => this.look(of, files));
    for (const of of ["holes", "letters"]) {
      const input = byId(`pictures-${of}`);
      byId(`see-${of}`).addEventListener("click", () => input.click());
      input.addEventListener("change", () => {
        const files = [...input.files];
        input.value = "";
        if (files.length) this.look(of, files);
      });
    }
    document.addEventListener("keydown", (event) => {
      const busy = event.target instanceof Element && event.target.closest("dialog, #area");
      if (event.key === "Escape" && this.seen && !busy) this.close();
    });
  }

  /** Have pictures looked at, and show what was seen in them. */
  async look(of, files) {
    this.looks += 1;
    const look = this.looks;
    const tell = (words, going = true) => look === this.looks && this.#tell(words, going);
    this.going += 1;
    byId("pictures-head").scrollIntoView({ block: "nearest" });
    try {
      tell(`Sending ${files.map(({ name }) => name).join(", ")}.`, false);
      const pictures = await sent(files);
      const revision = await this.revision();
      const answer = await this.connection.ask({ kind: "see", of, pictures, revision },
        ({ words }) => tell(words));
      if (answer.kind === "seen") {
        tell("", false);
        this.#show(answer);
      } else tell(answer.words, false);
    } catch (error) {
      tell(error.message, false);
    } finally {
      this.going -= 1;
    }
  }

  /** Take away what was seen. */
  close() {
    const inside = this.place.contains(document.activeElement);
    this.seen = null;
    this.over.hide();
    this.place.replaceChildren();
    this.#tell("", false);
    if (inside) byId("pictures-head").focus({ preventScroll: true });
  }

  #tell(words, going) {
    const stop = going && words
      ? button(this.going > 1 ? "Stop the one before" : "Stop", () => this.connection.send({ kind: "stopseeing" }))
      : null;
    this.told.replaceChildren(...[words, stop].filter(Boolean));
  }

  #show(seen) {
    this.seen = seen;
    this.over.show(seen);
    const fine = seen.things.filter(({ standing, words }) => standing === "true" && !words);
    const others = seen.things.filter((thing) => !fine.includes(thing));
    this.taken = make("p", { role: "status" });
    this.place.replaceChildren(make("div", {},
      make("p", { class: "seen-words" }, seen.words),
      make("p", { class: "row" },
        seen.take_over ? button(seen.take_over, () => this.#takeOver()) : null,
        button("Close", () => this.close(), { "aria-label": "Close what was seen in the picture" })),
      this.taken,
      seen.of === "letters" && others.length ? make("p", { class: "hint" }, LINES) : null,
      others.length ? make("ul", {}, others.map((thing) => this.#item(thing))) : null,
      fine.length ? make("details", {}, make("summary", {}, FINE[seen.of], " ", make("span", { class: "count" }, String(fine.length))),
        make("ul", {}, fine.map((thing) => this.#item(thing)))) : null,
      seen.assumed.length ? make("details", {}, make("summary", {}, "Assumed"),
        seen.assumed.map((words) => make("p", {}, words))) : null,
      make("a", { class: "seen-picture", href: seen.picture, target: "_blank", rel: "noopener" },
        make("img", { src: seen.picture, alt: "The picture, with everything that was found drawn on it; opens by itself" }))));
    byId("pictures-head").scrollIntoView({ block: "start" });
    say(seen.words);
  }

  #item(thing) {
    const [sign, sort] = STANDINGS[thing.standing];
    const { name, short, words, standing } = thing;
    const isWhole = this.seen.of === "letters" || standing === "missing" || standing === "extra";
    return make("li", { class: sort },
      make("button", { type: "button", class: "plain", on: { click: () => this.#go(thing) } },
        make("span", { class: "seen-sign", "aria-hidden": "true" }, sign), " ",
        make("span", { class: "where" }, name), `: ${(isWhole && words) || short}`),
      words && !isWhole ? make("p", { class: "remedy" }, words) : null);
  }

  #go({ at, hole, box, standing }) {
    const { board } = this.panel;
    // Tenths of a millimetre are seen from near only.
    if (this.seen.of === "letters" && standing !== "true" && this.panel.drawing) {
      const near = (NEAR * board.seen.width) / (box[2] - box[0]);
      board.zoomTo(Math.max(board.seen.scale, near), board.pixel(at));
    }
    this.panel.showPlaces({ place: at, places: [] });
    byId("board").scrollIntoView({ block: "nearest" });
    const there = this.panel.drawing?.holes.find(({ id }) => id === hole);
    if (there?.lines.length) this.goTo(there.lines[0][0]);
  }

  async #takeOver() {
    const { number } = this.seen;
    const said = this.taken;
    const words = await this.changedBy({ kind: "takeover", seen: number }, await this.revision());
    said.textContent = words || "Their list is written beside the description, and named in its text. "
      + "Look at the picture, and save.";
  }
}
