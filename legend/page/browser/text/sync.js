/** Keep the text of the editor and that of the server the same, and lose nothing of either.
 *
 * One edit is under way at a time. What the server answers may have in it what was typed
 * elsewhere: it is brought in round what was typed here meanwhile. What cannot be brought together
 * here goes to the server as it is, which lets the user settle it.
 */

import { Keeping } from "./keeping.js";
import { merged } from "./merging.js";

/** What is not taken in for so many ms is kept in the browser. */
const KEEP_AFTER = 400;
/** In these states the server would lose the text of this page if it stopped. */
const NOT_KEPT_THERE = ["two", "not-kept"];

export class Sync {
  /** `told` is called whenever what the page should say of the text has changed. */
  constructor(editor, connection, told) {
    Object.assign(this, { editor, connection, told });
    this.keeping = new Keeping();
    this.isOpen = false;
    this.known = null;
    this.saved = null;
    this.begun = null;
    this.earlier = [];
    this.recalled = null;
    this.flight = null;
    this.greeting = true;
    this.saving = false;
    this.waiting = [];
    this.settling = [];
    this.last = null;
    this.texts = new Map();
  }

  /** Whether the server has every letter. */
  get settled() {
    return this.known !== null && !this.flight && this.editor.text === this.known.text;
  }

  /** Whether closing the page would lose something. */
  get loses() {
    const unsent = this.known !== null && this.editor.text !== this.known.text;
    return unsent || (this.last?.state === "not-kept");
  }

  /** Whether nobody but this page has its text for certain. */
  get isAlone() {
    return this.loses || (this.known !== null && NOT_KEPT_THERE.includes(this.last.state));
  }

  opened() {
    this.isOpen = true;
    this.flight = null;
    this.greeting = true;
  }

  /** The line was cut, or could not be had again: what is kept then is kept once. */
  lost() {
    this.flight = null;
    if (this.isOpen && this.known !== null) this.#keep();
    this.isOpen = false;
    this.told();
  }

  /** The editor's text has changed. */
  typed() {
    if (this.known === null) return;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.leaves(), KEEP_AFTER);
    while (!this.editor.composing && this.waiting.length) this.#take(this.waiting.shift());
    this.#flush();
    this.told();
  }

  /** The page may be gone at once: what it alone has is kept. */
  leaves() {
    if (this.isAlone) this.#keep();
  }

  /** A text from the server. */
  heard(text) {
    this.#remember(text);
    if (this.editor.composing) this.waiting.push(text);
    else this.#take(text);
  }

  /** The edit with this number was not taken in. */
  refused(ask) {
    if (this.flight?.ask === ask) this.flight = null;
  }

  save() {
    this.saving = true;
    this.#flush();
  }

  /** The revision of the text, once the server has every letter of it. */
  revision() {
    if (this.settled) return Promise.resolve(this.known.revision);
    return new Promise((answer) => this.settling.push(answer));
  }

  /** Make a change that the server worked out upon a revision, here and now. */
  apply(revision, changeOf) {
    const base = this.texts.get(revision);
    if (base === undefined) return false;
    const { change, select } = changeOf(base);
    const theirs = base.slice(0, change.begin) + change.text + base.slice(change.end);
    if (this.editor.text === base) {
      this.editor.change(change, select);
      return true;
    }
    const both = merged(base, this.editor.text, theirs);
    if (both === null) return false;
    this.editor.bringIn(both);
    return true;
  }

  #take(text) {
    const wasApart = this.last?.state === "two";
    this.last = text;
    if (this.known === null) this.#first(text);
    else if (this.greeting) this.#greeted(text, wasApart);
    else this.#merge(text);
    this.greeting = false;
    if (text.state === "saved") this.saved = this.known.text;
    else if (text.state !== "two" && text.theirs !== null) this.saved = text.theirs;
    this.#flush();
    this.told();
  }

  #first(text) {
    this.editor.begin(text.text);
    this.#know(text);
    this.begun = text.text;
    this.earlier = this.keeping.found();
  }

  /** The first text after the line was cut.
   *
   * It has what was known here before, and may have more; but for a text that stood apart, and for
   * a server that knows no more than the file.
   */
  #greeted(text, wasApart) {
    const mine = this.editor.text;
    const knowsLess = wasApart || this.recalled !== null || text.text === this.saved;
    const base = knowsLess ? this.#base : this.known.text;
    this.#know(text);
    if (mine === base) this.editor.bringIn(text.text);
    else if (mine !== text.text) this.#send(-1, mine, base);
  }

  /** Take in what an earlier page kept, and no server had for certain; whether there was any. */
  #recall() {
    while (this.earlier.length) {
      const kept = this.earlier.shift();
      if (kept.text !== this.known.text) {
        this.recalled = kept;
        this.greeting = true; // so that it is not sent as if it were typed upon what is known
        this.editor.bringIn(kept.text);
        this.greeting = false;
        this.#send(-1, kept.text, kept.base);
        return true;
      }
      this.keeping.forget(kept.place);
    }
    return false;
  }

  #merge(text) {
    const answered = this.flight !== null && text.answers === this.flight.ask;
    const base = answered ? this.flight.text : this.known.text;
    const both = merged(base, this.editor.text, text.text);
    if (answered) this.flight = null;
    else if (this.flight) this.flight.text = merged(this.known.text, this.flight.text, text.text) ?? this.flight.text;
    if (both === null) return;
    this.#know(text);
    this.editor.bringIn(both);
  }

  #know(text) {
    this.known = { revision: text.revision, text: text.text };
  }

  #remember(text) {
    this.texts.set(text.revision, text.text);
    if (this.texts.size > 20) this.texts.delete(this.texts.keys().next().value);
  }

  #flush() {
    if (this.known === null || this.greeting || this.flight || !this.connection.isOpen) return;
    if (this.editor.text !== this.known.text) {
      this.#send(this.known.revision, this.editor.text, "");
      return;
    }
    clearTimeout(this.timer);
    if (this.isAlone) this.#keep();
    else {
      if (this.recalled) this.keeping.forget(this.recalled.place);
      this.recalled = null;
      this.keeping.forget();
      if (!this.editor.composing && this.#recall()) return;
    }
    for (const answer of this.settling.splice(0)) answer(this.known.revision);
    if (this.saving) {
      this.saving = false;
      this.connection.send({ kind: "save", revision: this.known.revision });
    }
  }

  #send(base, text, baseText) {
    const ask = this.connection.number();
    if (this.connection.send({ kind: "edit", base, text, base_text: baseText, ask })) {
      this.flight = { ask, text };
    }
  }

  /** What this page's text was typed upon, as far as another server may know it. */
  get #base() {
    return this.recalled?.base ?? this.saved ?? this.begun;
  }

  #keep() {
    if (this.editor.text !== this.#base) this.keeping.keep(this.editor.text, this.#base);
  }
}
