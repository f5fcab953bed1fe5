/** Have every file made: show how far it is, list what was made, and ask where something is in the way. */

import { button, byId, make, say } from "../elements.js";

export class Making {
  /** `revision` gives, when every letter has arrived, the revision of the text. */
  constructor(connection, revision) {
    Object.assign(this, { connection, revision });
    this.place = byId("made");
    this.button = byId("make");
    this.button.addEventListener("click", () => this.make({}));
  }

  async make(how) {
    this.button.disabled = true;
    this.#tell(make("p", {}, "Everything is being made."));
    let answer;
    try {
      await this.revision();
      answer = await this.connection.ask({ kind: "make", folder: "", replace: false, ...how },
        ({ words }) => this.#tell(make("p", {}, words)));
    } catch {
      this.#tell(make("p", {}, "Legend has stopped. Whether anything was made is seen in the folder."));
      return;
    } finally {
      this.button.disabled = false;
    }
    if (answer.kind === "made") this.#made(answer);
    else if (answer.kind === "intheway") this.#inTheWay(answer, how);
    else this.#refused(answer.words ?? "It could not be made.", how);
    this.place.scrollIntoView({ block: "nearest" });
  }

  /** Say why it was not made; a folder that would not do can be named anew. */
  #refused(words, how) {
    if (how.folder) this.#inTheWay({ words, replaceable: false }, how);
    else this.#tell(make("p", {}, words));
  }

  #made({ folder, files }) {
    const rows = files.map(({ name, what, link }) =>
      make("li", {}, make("a", { href: link, target: "_blank", rel: "noopener" }, name), what ? ` ${what}` : ""));
    this.#tell(make("p", {}, `Everything is made, in ${folder}:`), make("ul", { class: "files" }, ...rows));
    say(`Everything is made: ${files.length} files in ${folder}.`);
  }

  #inTheWay({ words, replaceable }, how) {
    const folder = make("input", { type: "text", value: how.folder ?? "", size: 18, spellcheck: "false" });
    const there = () => folder.value.trim() && this.make({ folder: folder.value.trim() });
    folder.addEventListener("keydown", (event) => {
      if (event.key === "Enter") there();
    });
    this.#tell(
      make("p", {}, words),
      make("p", {}, "Nothing was written."),
      make("p", { class: "row" },
        replaceable ? button("Replace it", () => this.make({ ...how, replace: true })) : null,
        make("label", {}, "Another folder: ", folder),
        button("Make everything there", there)));
    say(`${words} Nothing was written.`);
  }

  #tell(...inside) {
    this.place.replaceChildren(...inside);
  }
}
