/** Tell what the key means that the caret stands at, under the text, once the caret rests. */

import { make } from "../elements.js";
import { indexOf, placeOf } from "./places.js";

/** The caret rests when it has not moved for so many ms. */
const RESTS_AFTER = 350;
/** A key, as far as its equals sign; and a heading of a table of a list. */
const KEY = /([A-Za-z_][\w-]*)[ \t]*=/g;
const HEADING = /^[ \t]*\[\[[\w.-]+/;

export class Explaining {
  /** `place` is the element in which it is told. */
  constructor(editor, connection, place) {
    Object.assign(this, { editor, connection, place });
    this.told = "";
  }

  /** The caret stands in another place, or the text is another. */
  moved() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.#explain(), RESTS_AFTER);
  }

  async #explain() {
    const { text, caret } = this.editor;
    const end = endOfWord(text, caret);
    if (end === null) {
      this.#tell("", "");
      return;
    }
    let answer;
    try {
      answer = await this.connection.ask({ kind: "complete", text, at: placeOf(text, end) });
    } catch {
      return;
    }
    if (answer.kind !== "completions" || this.editor.text !== text) return;
    const word = text.slice(indexOf(text, answer.begin), end);
    const found = answer.words.find((each) => each.word.replace(/ = $/, "") === word);
    this.#tell(word.replace(/^\[+/, ""), found?.meaning ?? "");
  }

  #tell(word, meaning) {
    if (this.told === `${word} ${meaning}`) return;
    this.told = `${word} ${meaning}`;
    this.place.replaceChildren(...(meaning ? [make("code", {}, word), ` ${meaning}`] : []));
  }
}

/** Where the key ends that an index into the text is at, or the heading's name; null at neither. */
function endOfWord(text, index) {
  const head = text.lastIndexOf("\n", index - 1) + 1;
  const line = text.slice(head).split("\n", 1)[0];
  const heading = HEADING.exec(line);
  if (heading) return head + heading[0].length;
  const keys = [...line.split("#", 1)[0].matchAll(KEY)];
  const key = keys.filter((each) => head + each.index <= index).at(-1) ?? keys[0];
  return key ? head + key.index + key[1].length : null;
}
