/** Put the panel's part of the page together: board, buttons, keys, pointing and measuring. */

import { button, byId, say } from "../elements.js";
import { Board } from "./board.js";
import { distance } from "./lengths.js";
import { Measuring } from "./measuring.js";
import { Pointing } from "./pointing.js";
import { Rings } from "./rings.js";
import { TrueSize } from "./true_size.js";

const PUSH = 40;

export class Panel {
  /** `goTo` is called with what was clicked, `over` with each point under the pointer. */
  constructor(connection, { goTo, over }) {
    this.goTo = goTo;
    this.board = new Board(byId("board"), [byId("rule-across"), byId("rule-upright")], () => this.#placed());
    this.rings = new Rings(this.board);
    this.reading = byId("reading");
    this.pointing = new Pointing(this.board, this.rings, connection, this.reading, { goTo, overPanel: over });
    this.measuring = new Measuring(this.board, this.rings);
    this.size = new TrueSize(this.board, (words) => this.#tell(words));
    this.line = 0;
    this.stepped = -1;
    this.#buttons();
    byId("board").addEventListener("keydown", (event) => this.#key(event));
    byId("board").addEventListener("click", (event) => this.#click(event));
    byId("board").addEventListener("blur", () => this.#leave());
  }

  get drawing() {
    return this.board.drawing;
  }

  show(drawing) {
    const before = this.drawing;
    this.board.show(drawing);
    if (before?.captions !== drawing.captions) this.#stages(drawing);
    this.measuring.offer(drawing);
    byId("board").dataset.revision = drawing.revision;
    byId("unit").textContent = drawing.units;
    byId("as-seen").textContent = `As seen from ${distance(drawing.viewing, drawing.units)}`;
    byId("board").setAttribute("aria-label", `The panel: ${drawing.title}`);
    this.rings.again();
  }

  /** Ring the holes of the table that a line stands in. */
  caret(line) {
    this.line = line;
    this.rings.set("caret", () => this.drawing.holes
      .filter(({ lines }) => lines.some(([first, last]) => first <= this.line && this.line <= last))
      .map((hole) => this.rings.hole(hole)));
  }

  /** Ring the places of a finding, or none, where they are in sight or not. */
  ringPlaces(finding) {
    const all = placesOf(finding);
    this.rings.set("finding", () => all.map((each) => this.rings.place(each)));
  }

  /** Ring the places of a finding, and bring the first into sight. */
  showPlaces(finding) {
    this.ringPlaces(finding);
    const [first] = placesOf(finding);
    if (first && this.drawing) this.board.reveal(finding.place ?? first);
  }

  lightPiece(piece) {
    this.rings.set("piece", () => (piece ? [this.rings.frame(piece.on_panel)] : []));
  }

  /** Take what is drawn for what is saved, where it is. */
  savedIs(saved) {
    if (this.drawing && saved(this.drawing.revision)) this.board.keepAsSaved();
    byId("moved").disabled = this.board.saved === null;
  }

  #buttons() {
    const press = {
      smaller: () => this.board.zoom(-1),
      larger: () => this.board.zoom(1),
      fit: () => this.board.fit(),
      real: () => this.size.real(),
      "as-seen": () => this.size.asSeen(),
      "fit-rule": () => this.size.fit(),
      "bar-fits": () => byId("fit-bar").close("fitted"),
      "bar-leave": () => byId("fit-bar").close("left"),
      "measure-turn": () => this.#turnMeasuring(),
      moved: () => this.#turnMoved(),
    };
    for (const [id, action] of Object.entries(press)) {
      byId(id).addEventListener("click", () => this.drawing && action());
    }
  }

  #stages({ captions, stages }) {
    byId("stages").replaceChildren(...Object.keys(stages).map((stage) =>
      button(captions[stage] ?? stage, () => this.#turnTo(stage), {
        "data-stage": stage, "aria-pressed": String(stage === this.board.stage),
      })));
  }

  #turnTo(stage) {
    this.board.turnTo(stage);
    for (const each of byId("stages").children) {
      each.setAttribute("aria-pressed", String(each.dataset.stage === stage));
    }
    say(this.drawing.captions[stage] ?? stage);
  }

  #turnMeasuring() {
    this.measuring.turn(!this.measuring.on);
    byId("measure-turn").setAttribute("aria-pressed", String(this.measuring.on));
  }

  #turnMoved() {
    this.board.compare(!this.board.comparing);
    byId("moved").setAttribute("aria-pressed", String(this.board.comparing));
    this.#tell(this.board.comparing ? "The panel as it was saved shows faintly under the one of now." : "");
  }

  #click(event) {
    if (!this.drawing || this.board.dragged) return;
    const pixel = this.board.pixelOf(event);
    if (this.measuring.on) this.measuring.click(pixel);
    else this.pointing.click(pixel);
  }

  #key(event) {
    if (!this.drawing || event.ctrlKey || event.metaKey || event.altKey) return;
    const pushes = { ArrowLeft: [1, 0], ArrowRight: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    const keys = {
      ArrowLeft: () => this.#turnTo(this.board.stageAfter(-1)),
      ArrowRight: () => this.#turnTo(this.board.stageAfter(1)),
      ArrowUp: () => this.#step(-1),
      ArrowDown: () => this.#step(1),
      "+": () => this.#zoom(1),
      "=": () => this.#zoom(1),
      "-": () => this.#zoom(-1),
      0: () => this.board.fit(),
      Enter: () => this.#enter(),
      Escape: () => this.#leave(),
    };
    if (event.shiftKey && event.key in pushes) {
      this.board.push(...pushes[event.key].map((each) => each * PUSH));
    } else if (event.key in keys) {
      keys[event.key]();
    } else return;
    event.preventDefault();
  }

  /** Make it larger round the hole that was gone to, or round the middle. */
  #zoom(steps) {
    const hole = this.drawing.holes[this.stepped];
    this.board.zoom(steps, hole ? this.board.pixel(hole.at) : null);
  }

  /** Go from hole to hole. */
  #step(steps) {
    const { holes } = this.drawing;
    if (!holes.length) return;
    this.stepped = this.stepped < 0 && steps < 0 ? holes.length - 1 : (this.stepped + steps + holes.length) % holes.length;
    const hole = holes[this.stepped];
    this.rings.set("stepped", () => {
      const now = this.drawing.holes.find(({ id }) => id === hole.id);
      return now ? [this.rings.hole(now)] : [];
    });
    this.board.reveal(hole.at);
    this.#tell(`${hole.id}: ${this.pointing.distances(hole.at, true)}.`);
  }

  #enter() {
    const hole = this.drawing.holes[this.stepped];
    if (hole?.lines.length) this.goTo({ line: hole.lines[0][0] });
  }

  #leave() {
    this.stepped = -1;
    this.rings.clear("stepped");
    this.rings.clear("finding");
  }

  #placed() {
    this.rings?.again();
    const zoom = this.board.whole ? "" : `${Math.round((this.board.seen.scale / this.board.seen.fit) * 100)} %`;
    byId("fit").title = zoom ? `The whole panel; now at ${zoom} of that` : "The whole panel is shown";
  }

  #tell(words) {
    this.reading.textContent = words;
    this.reading.classList.toggle("asked-for-nothing", false);
    say(words);
  }
}

/** Where a finding is on the panel; nowhere, if there is none. */
function placesOf(finding) {
  if (!finding) return [];
  const { place, places } = finding;
  return places.length ? places : place ? [place] : [];
}
