/** Say at the head of the page what is shown, and how its text stands to the file. */

import { byId, say } from "./elements.js";

const STOPPED = "Legend has stopped. Your text is safe here.";

export class State {
  constructor(sync, connection) {
    Object.assign(this, { sync, connection });
    byId("copy").addEventListener("click", () => this.#copy());
  }

  opened({ file, folder }) {
    byId("file").textContent = file;
    byId("file").title = folder ? `${folder}/${file}` : file;
  }

  title(words) {
    byId("title").textContent = words;
    document.title = words;
  }

  /** Say why something could not be done, until the user goes on; or say nothing more of it. */
  complain(words) {
    const place = byId("complaint");
    if (place.textContent !== words) place.textContent = words;
  }

  show() {
    const [state, words] = this.#now();
    const place = byId("state");
    if (place.textContent !== words) place.textContent = words;
    place.closest(".cell").dataset.state = state;
    byId("area").dataset.revision = this.sync.settled ? this.sync.known.revision : "";
    byId("copy").hidden = state !== "stopped";
    byId("save").disabled = state === "stopped" || state === "saved" || state === "two";
  }

  #now() {
    const { last, known } = this.sync;
    if (known === null && !this.connection.isOpen) return ["opening", "Legend does not answer."];
    if (!this.connection.isOpen) return ["stopped", STOPPED];
    if (!last) return ["opening", "The page is being opened."];
    if (last.state === "saved" && !this.sync.settled) return ["unsaved", "Not saved."];
    return [last.state, last.words];
  }

  async #copy() {
    const area = byId("area");
    try {
      await navigator.clipboard.writeText(area.value);
    } catch {
      area.focus();
      area.select();
      document.execCommand("copy");
    }
    say("The whole text is copied.");
  }
}
