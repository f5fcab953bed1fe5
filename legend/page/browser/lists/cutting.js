/** Show the sheets and cards that will be cut, and light up pieces here and on the panel. */

import { byId, draw, drawingFrom, make } from "../elements.js";

const called = ({ number, words }) => `Piece ${number}: ${words}`;

export class Cutting {
  /** `lit` is called with the piece that is pointed at or focused here, or null. */
  constructor(lit) {
    this.lit = lit;
    this.pieces = [];
    this.places = new Map();
    this.#none();
  }

  /** Show other sheets; a piece that had the focus has it again, where it is still to be cut. */
  show(cutting) {
    const had = this.focused;
    this.pieces = cutting.pieces;
    this.places.clear();
    byId("sheets").replaceChildren(...cutting.sheets.map((text, at) =>
      this.#figure(text, cutting.sheet_captions[at] ?? "", at)));
    byId("cards").replaceChildren(...cutting.cards.map((text, at) =>
      this.#figure(text, cutting.card_captions[at] ?? "", null)));
    byId("sheets").dataset.revision = cutting.revision;
    byId("to-cut-empty").hidden = cutting.sheets.length > 0;
    byId("overlay").hidden = cutting.sheets.length === 0;
    byId("cards-part").hidden = cutting.cards.length === 0;
    this.#none();
    this.#light();
    const again = had && this.pieces.find(({ words }) => words === had.words);
    if (again) this.places.get(again.number)[0].focus({ preventScroll: true });
  }

  /** Light the piece on the sheet that covers a point of the panel, the smallest where they overlap. */
  over(point) {
    const within = (box) => point && point[0] >= box[0] && point[0] <= box[2] && point[1] >= box[1] && point[1] <= box[3];
    const size = ({ on_panel: box }) => (box[2] - box[0]) * (box[3] - box[1]);
    const under = this.pieces.filter((piece) => within(piece.on_panel)).sort((a, b) => size(a) - size(b));
    this.onPanel = under[0] ?? null;
    this.#light();
  }

  #none() {
    this.onPanel = this.pointed = this.focused = null;
  }

  /** Light every copy of one piece and say what it is: what is pointed at goes before the focus. */
  #light() {
    const here = this.pointed ?? this.focused;
    const piece = this.onPanel ?? here;
    for (const place of byId("sheets").querySelectorAll(".piece-place.lit")) place.classList.remove("lit");
    for (const place of this.places.get(piece?.number) ?? []) place.classList.add("lit");
    const words = piece ? called(piece) : "";
    if (byId("piece-told").textContent !== words) byId("piece-told").textContent = words;
    this.lit(here);
  }

  #figure(text, caption, sheet) {
    const drawing = drawingFrom(text);
    if (!drawing) return make("p", {}, "This sheet cannot be shown.");
    const [, , width, height] = (drawing.getAttribute("viewBox") ?? "0 0 1 1").split(/[\s,]+/).map(Number);
    drawing.removeAttribute("width");
    drawing.removeAttribute("height");
    drawing.setAttribute("class", width >= height ? "sheet-drawing" : "sheet-drawing upright");
    if (sheet === null) {
      drawing.setAttribute("role", "img");
      drawing.setAttribute("aria-label", caption);
    } else {
      drawing.setAttribute("role", "group");
      drawing.setAttribute("aria-label", caption);
      drawing.append(...this.#pieceButtons(sheet));
    }
    return make("figure", {}, drawing, make("figcaption", {}, caption));
  }

  #pieceButtons(sheet) {
    return this.pieces.filter((piece) => piece.sheet === sheet).map((piece) => {
      const [x0, y0, x1, y1] = piece.on_sheet;
      const now = (how, what) => () => {
        this[how] = what;
        this.#light();
      };
      const place = draw("rect", {
        class: "piece-place", role: "img", tabindex: 0, "aria-label": called(piece),
        x: Math.min(x0, x1), y: Math.min(y0, y1), width: Math.abs(x1 - x0), height: Math.abs(y1 - y0),
        on: {
          pointerenter: now("pointed", piece), pointerleave: now("pointed", null),
          focus: now("focused", piece), blur: now("focused", null),
        },
      }, draw("title", {}, called(piece)));
      this.places.set(piece.number, [...(this.places.get(piece.number) ?? []), place]);
      return place;
    });
  }
}
