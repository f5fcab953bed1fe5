/** List the tables that are ready to be put into the description. */

import { byId, make } from "../elements.js";

export class ReadyTables {
  /** `putIn` is called with the word of the table that was chosen. */
  constructor(putIn) {
    this.list = byId("ready");
    byId("put-in").addEventListener("click", () => this.list.value && putIn(this.list.value));
    this.list.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && this.list.value) {
        event.preventDefault();
        putIn(this.list.value);
      }
    });
  }

  show(ready) {
    const chosen = this.list.value;
    this.list.replaceChildren(...ready.map(({ word, what }) => make("option", { value: word }, what)));
    byId("put-in").disabled = ready.length === 0;
    if (ready.some((each) => each.word === chosen)) this.list.value = chosen;
  }
}
