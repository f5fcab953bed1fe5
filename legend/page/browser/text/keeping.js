/** Keep in the browser what the server has not taken in yet, so that a closed lid loses nothing. */

const KEY = "legend-unsent:";

export class Keeping {
  constructor() {
    this.file = null;
  }

  /** What was kept of this file by an earlier page: text and base; or null. */
  found() {
    try {
      const kept = JSON.parse(localStorage.getItem(KEY + this.file));
      return typeof kept?.text === "string" && typeof kept.base === "string" ? kept : null;
    } catch {
      return null;
    }
  }

  /** Keep a text that was typed upon `base`, where the browser keeps anything. */
  keep(text, base) {
    try {
      if (this.file !== null) localStorage.setItem(KEY + this.file, JSON.stringify({ text, base }));
    } catch {
      // It still stands in the page.
    }
  }

  forget() {
    try {
      if (this.file !== null) localStorage.removeItem(KEY + this.file);
    } catch {
      // Where nothing can be kept there is nothing to forget.
    }
  }
}
