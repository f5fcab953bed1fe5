/** The description as one edits it: a text area, and under it its lines, coloured and numbered.
 *
 * The letters that one sees are those of the lines; the text area over them has the caret, and
 * all that a keyboard, a phone or a screen reader knows of a text area. It is as large as its
 * text, so that nothing but the paper round it is ever scrolled.
 */

import { make } from "../elements.js";
import { coloured } from "./colouring.js";
import { changed, changesByLine, leastChange } from "./merging.js";
import { Undoing } from "./undoing.js";

/** So many lines more are shown below one that is gone to, where there is room. */
const LOOKED_AT = 6;

export class Editor {
  /** `typed` is called after each change, `moved` when the caret stands in another place. */
  constructor(area, lines, { typed, moved }) {
    Object.assign(this, { area, lines, typed, moved });
    this.text = "";
    this.rows = [];
    this.undoing = new Undoing();
    this.selected = [0, 0];
    this.selectedBefore = [0, 0];
    this.composing = false;
    this.#show();
    area.addEventListener("input", () => this.#input());
    area.addEventListener("compositionstart", () => {
      this.composing = true;
      this.before = { text: this.text, selected: this.#selection() };
    });
    area.addEventListener("compositionend", () => this.#composed());
    area.addEventListener("beforeinput", (event) => this.#beforeInput(event));
    area.addEventListener("keydown", (event) => this.#key(event));
    document.addEventListener("selectionchange", () => this.#select());
    area.addEventListener("keyup", () => this.#select());
  }

  /** The text to begin with, which cannot be undone. */
  begin(text) {
    this.area.value = text;
    this.text = this.area.value;
    this.#show();
    this.area.setSelectionRange(0, 0);
    this.#select();
  }

  /** Bring another text in, as one step that can be undone; the caret stays in its words. */
  bringIn(text) {
    const change = leastChange(this.text, text);
    if (change.begin === change.end && !change.text) return;
    const before = this.#selection();
    const removed = this.text.slice(change.begin, change.end);
    for (const each of changesByLine(this.text, text).reverse()) {
      this.area.setRangeText(each.text, each.begin, each.end, "preserve");
    }
    this.text = text;
    this.#show();
    this.undoing.add({ begin: change.begin, removed, put: change.text, before }, false);
    this.#select();
    this.typed();
  }

  /** Make one change that can be undone, and select `select` of what then stands, if given. */
  change({ begin, end, text }, select = null) {
    const before = this.#selection();
    const removed = this.text.slice(begin, end);
    this.#put(begin, end, text);
    this.undoing.add({ begin, removed, put: text, before }, false);
    if (select) this.select(...select);
    this.typed();
  }

  undo() {
    const step = this.undoing.back();
    if (!step) return;
    this.#put(step.begin, step.begin + step.put.length, step.removed);
    this.select(...step.before);
    this.typed();
  }

  again() {
    const step = this.undoing.again();
    if (!step) return;
    this.#put(step.begin, step.begin + step.removed.length, step.put);
    this.select(step.begin + step.put.length);
    this.typed();
  }

  /** The line, counted from 1, in which an index into the text lies. */
  lineAt(index) {
    let line = 1;
    for (let at = this.text.indexOf("\n"); at >= 0 && at < index; at = this.text.indexOf("\n", at + 1)) {
      line += 1;
    }
    return line;
  }

  get caret() {
    return this.area.selectionEnd;
  }

  get line() {
    return this.lineAt(this.caret);
  }

  /** Select a part of the text, and show it. */
  select(begin, end = begin) {
    this.area.setSelectionRange(begin, end);
    this.reveal(this.lineAt(end));
    this.#select();
  }

  /** Put the caret at the first letter of a line, and go there. */
  goTo(line) {
    const rows = this.text.split("\n");
    const row = Math.max(1, Math.min(line, rows.length));
    const begin = rows.slice(0, row - 1).reduce((sum, each) => sum + each.length + 1, 0);
    const indent = /^\s*/.exec(rows[row - 1])[0].length;
    this.area.focus({ preventScroll: true });
    this.reveal(Math.min(row + LOOKED_AT, rows.length)); // the lines of a table, not its heading alone
    this.select(begin + indent, begin + rows[row - 1].length);
  }

  /** Scroll only as far as needed for a line to be seen, with one more above and below. */
  reveal(line) {
    const row = this.lines.children[line - 1];
    if (!row) return;
    const paper = this.lines.closest(".paper");
    const [box, frame] = [row.getBoundingClientRect(), paper.getBoundingClientRect()];
    const above = frame.top + box.height - box.top;
    const below = box.bottom + box.height - (frame.top + paper.clientHeight);
    if (above > 0) paper.scrollTop -= above;
    else if (below > 0) paper.scrollTop += below;
  }

  /** The box on the screen of a place in the text. */
  boxAt(index) {
    const line = this.lineAt(index);
    const words = this.lines.children[line - 1].querySelector(".words");
    let left = index - (this.text.lastIndexOf("\n", index - 1) + 1);
    const range = document.createRange();
    const walker = document.createTreeWalker(words, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      if (left <= node.length) {
        range.setStart(node, left);
        range.setEnd(node, left);
        const box = range.getClientRects()[0];
        if (box) return box;
      }
      left -= node.length;
    }
    const box = words.getBoundingClientRect();
    return new DOMRect(box.left, box.top, 0, box.height);
  }

  /** Mark lines in the margin: for each line its sort, its sign and its words. */
  mark(marks) {
    [...this.lines.children].forEach((row, at) => {
      const mark = marks.get(at + 1);
      const sign = row.querySelector(".sign");
      sign.className = mark ? `sign ${mark.sort}` : "sign";
      sign.textContent = mark ? mark.sign : "";
      sign.title = mark ? mark.words : "";
    });
  }

  #selection() {
    return [this.area.selectionStart, this.area.selectionEnd];
  }

  #select() {
    if (this.composing) return;
    const [begin, end] = this.#selection();
    if (begin === this.selected[0] && end === this.selected[1]) return;
    this.selected = [begin, end];
    const line = this.line;
    this.lines.querySelector(".here")?.classList.remove("here");
    this.lines.children[line - 1]?.classList.add("here");
    this.moved();
  }

  #input() {
    const text = this.area.value;
    if (text === this.text) return;
    const change = leastChange(this.text, text);
    if (!this.composing) this.#remember(this.text, change, this.selectedBefore);
    this.text = text;
    this.#show();
    // The browser looked for the caret before the lines that were put in had their room.
    this.reveal(this.line);
    if (!this.composing) this.#select();
    this.typed();
  }

  /** What was composed from several keys is one step. */
  #composed() {
    this.composing = false;
    this.text = this.area.value;
    this.#show();
    const change = leastChange(this.before.text, this.text);
    if (change.begin < change.end || change.text) {
      this.#remember(this.before.text, change, this.before.selected);
    }
    this.#select();
    this.typed();
  }

  #remember(text, change, before) {
    const removed = text.slice(change.begin, change.end);
    this.undoing.add({ begin: change.begin, removed, put: change.text, before }, true);
  }

  #put(begin, end, text) {
    this.area.setRangeText(text, begin, end, "preserve");
    this.text = changed(this.text, { begin, end, text });
    this.#show();
  }

  #beforeInput(event) {
    this.selectedBefore = this.#selection();
    if (event.inputType === "historyUndo") this.undo();
    else if (event.inputType === "historyRedo") this.again();
    else return;
    event.preventDefault();
  }

  #key(event) {
    const command = (event.ctrlKey || event.metaKey) && !event.altKey;
    const key = event.key.toLowerCase();
    if (command && key === "z") {
      event.preventDefault();
      if (event.shiftKey) this.again();
      else this.undo();
    } else if (command && key === "y") {
      event.preventDefault();
      this.again();
    } else if (event.key === "Enter" && !command && !event.isComposing && !event.defaultPrevented) {
      this.#indent(event);
    }
  }

  /** A new line begins as far in as the one before it. */
  #indent(event) {
    const [begin, end] = this.#selection();
    const head = this.text.lastIndexOf("\n", begin - 1) + 1;
    const indent = /^[ \t]*/.exec(this.text.slice(head, begin))[0];
    if (!indent) return;
    event.preventDefault();
    const at = begin + 1 + indent.length;
    this.change({ begin, end, text: `\n${indent}` }, [at, at]);
  }

  /** Draw the lines that are not as they were. */
  #show() {
    const rows = this.text.split("\n");
    const old = this.rows;
    let head = 0;
    const most = Math.min(old.length, rows.length);
    while (head < most && old[head].line === rows[head]) head += 1;
    let tail = 0;
    while (tail < most - head && old[old.length - 1 - tail].line === rows[rows.length - 1 - tail]) {
      tail += 1;
    }
    let open = head > 0 ? old[head - 1].open : "";
    const fresh = rows.slice(head, rows.length - tail).map((line) => {
      const row = { line, ...coloured(line, open) };
      open = row.open;
      return row;
    });
    const kept = old.slice(old.length - tail);
    this.#replace(head, old.length - tail, fresh);
    this.rows = [...old.slice(0, head), ...fresh, ...kept];
    // What follows is coloured anew as far as quotes that were opened or closed go.
    for (let at = head + fresh.length; at < this.rows.length; at += 1) {
      const row = { line: this.rows[at].line, ...coloured(this.rows[at].line, open) };
      const before = this.rows[at];
      if (row.open === before.open && row.parts.length === before.parts.length
        && row.parts.every((part, n) => part[0] === before.parts[n][0])) break;
      this.#fill(this.lines.children[at], row);
      this.rows[at] = row;
      open = row.open;
    }
  }

  #replace(begin, end, fresh) {
    const places = this.lines.children;
    const kept = Math.min(end - begin, fresh.length);
    for (let at = 0; at < kept; at += 1) this.#fill(places[begin + at], fresh[at]);
    for (let at = end - 1; at >= begin + kept; at -= 1) places[at].remove();
    const next = places[begin + kept] ?? null;
    const added = document.createDocumentFragment();
    for (const row of fresh.slice(kept)) {
      const place = make("div", { class: "line" },
        make("span", { class: "number" }, make("span", { class: "sign" })),
        make("span", { class: "words" }));
      this.#fill(place, row);
      added.append(place);
    }
    this.lines.insertBefore(added, next);
  }

  #fill(place, row) {
    place.lastElementChild.replaceChildren(
      ...row.parts.map(([sort, text]) => (sort ? make("span", { class: sort }, text) : text)));
  }
}
