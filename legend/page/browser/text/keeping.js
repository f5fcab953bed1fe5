/** Keep in the browser what no server has for certain, so that a closed lid loses nothing.
 *
 * Each page keeps it in a place of its own, so that none writes over what another one kept.
 */

const KEY = "legend-unsent:";

export class Keeping {
  constructor() {
    this.file = null;
    // In the order in which pages were opened.
    this.name = `${Date.now().toString(36)}-${Math.random().toString(36).slice(2)}`;
  }

  /** What other pages kept of this file, each with its place, its text and its base; oldest first. */
  found() {
    try {
      return Object.keys(localStorage)
        .filter((place) => place.startsWith(this.#placeOf("")) && place !== this.#own)
        .sort()
        .map((place) => ({ place, ...JSON.parse(localStorage.getItem(place)) }))
        .filter(({ text, base }) => typeof text === "string" && typeof base === "string");
    } catch {
      return [];
    }
  }

  /** Keep a text that was typed upon `base`, where the browser keeps anything. */
  keep(text, base) {
    try {
      if (this.file !== null) localStorage.setItem(this.#own, JSON.stringify({ text, base }));
    } catch {
      // It still stands in the page.
    }
  }

  /** Forget what is kept in a place, or in that of this page. */
  forget(place = this.#own) {
    try {
      localStorage.removeItem(place);
    } catch {
      // Where nothing can be kept there is nothing to forget.
    }
  }

  get #own() {
    return this.#placeOf(this.name);
  }

  #placeOf(name) {
    return `${KEY}${JSON.stringify(this.file)}${name}`;
  }
}
