/** Lay the parts of the page out: under the panel or beside it, by a share that the user sets. */

import { byId } from "./elements.js";

const SHARE = "legend-share";
const [LEAST, MOST, USUAL] = [15, 85, { wide: 54, tall: 42 }];

export class Sheet {
  constructor() {
    this.divider = byId("divider");
    this.kind = "wide";
    this.phone = matchMedia("(max-width: 700px)");
    byId("fold").addEventListener("click", () => this.#fold(!this.textIsOpen));
    this.divider.addEventListener("keydown", (event) => this.#key(event));
    this.divider.addEventListener("pointerdown", (event) => this.#drag(event));
    this.#share(this.#kept());
    this.#fold(false);
    // What is far down on a phone would lie below a long list that spoils nothing.
    if (this.phone.matches) byId("heap-granted").open = false;
  }

  /** Stand the description under a wide panel, and beside a tall one. */
  shape([, , width, height]) {
    const kind = width >= height ? "wide" : "tall";
    document.documentElement.style.setProperty("--aspect", String(width / height));
    if (kind === this.kind) return;
    document.body.classList.replace(this.kind, kind);
    this.kind = kind;
    this.divider.setAttribute("aria-orientation", kind === "wide" ? "horizontal" : "vertical");
    this.#share(this.#kept());
  }

  /** Whether the description can be seen; on a phone it is folded away until asked for. */
  get textIsOpen() {
    return !this.phone.matches || document.body.classList.contains("unfolded");
  }

  unfold() {
    this.#fold(true);
  }

  #fold(open) {
    document.body.classList.toggle("unfolded", open);
    byId("fold").setAttribute("aria-expanded", String(open));
    byId("fold").textContent = open ? "Fold it away" : "Show it";
  }

  #kept() {
    try {
      return Number(localStorage.getItem(`${SHARE}-${this.kind}`)) || USUAL[this.kind];
    } catch {
      return USUAL[this.kind];
    }
  }

  #share(share) {
    this.now = Math.max(LEAST, Math.min(MOST, share));
    document.documentElement.style.setProperty("--share", `${this.now}%`);
    this.divider.setAttribute("aria-valuenow", String(Math.round(this.now)));
  }

  #keep() {
    try {
      localStorage.setItem(`${SHARE}-${this.kind}`, String(this.now));
    } catch {
      // A browser that keeps nothing has the usual share next time.
    }
  }

  #key(event) {
    const steps = { ArrowUp: -2, ArrowLeft: -2, ArrowDown: 2, ArrowRight: 2 };
    if (!(event.key in steps)) return;
    event.preventDefault();
    this.#share(this.now + steps[event.key]);
    this.#keep();
  }

  #drag(event) {
    event.preventDefault();
    this.divider.focus();
    this.divider.setPointerCapture(event.pointerId);
    const box = this.divider.parentElement.getBoundingClientRect();
    const move = ({ clientX, clientY }) => this.#share(this.kind === "wide"
      ? ((clientY - box.top) / box.height) * 100
      : ((clientX - box.left) / box.width) * 100);
    this.divider.addEventListener("pointermove", move);
    this.divider.addEventListener("lostpointercapture", () => {
      this.divider.removeEventListener("pointermove", move);
      this.#keep();
    }, { once: true });
  }
}
