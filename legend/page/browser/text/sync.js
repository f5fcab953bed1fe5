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

export class Sync {
  /** `told` is called whenever what the page should say of the text has changed. */
  constructor(editor, connection, told) {
    Object.assign(this, { editor, connection, told });
    this.keeping = new Keeping();
    this.isOpen = false;
    this.known = null;
    this.saved = null;
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
    this.timer = setTimeout(() => this.loses && this.#keep(), KEEP_AFTER);
    while (!this.editor.composing && this.waiting.length) this.#take(this.waiting.shift());
    this.#flush();
    this.told();
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
    this.last = text;
    if (this.known === null) this.#first(text);
    else if (this.greeting) this.#greeted(text);
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
    const kept = this.keeping.found();
    if (!kept || kept.text === text.text) return;
    // An earlier page had more than the server ever got.
    this.editor.bringIn(kept.text);
    this.#send(-1, kept.text, kept.base);
  }

  /** The first text after the line was cut: the server may be another, and know less. */
  #greeted(text) {
    const mine = this.editor.text;
    const same = [this.known.text, this.saved, mine].includes(text.text);
    const unsaved = mine !== this.saved;
    this.#know(text);
    if (same) return;
    if (unsaved) this.#send(-1, mine, this.saved ?? text.text);
    else this.editor.bringIn(text.text);
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
    this.keeping.forget();
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

  #keep() {
    const base = this.saved ?? this.known.text;
    if (this.editor.text !== base) this.keeping.keep(this.editor.text, base);
  }
}
