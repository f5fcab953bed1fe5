/** Keep a part of the drawing on the page, and draw again only those of its paths that changed. */

import { insideFrom } from "../elements.js";

/** Where more paths than this changed, all is drawn anew. */
const MOST_CHANGED = 60;

export class DrawnPaths {
  /** `group` is the element that the part stands in. */
  constructor(group) {
    this.group = group;
    this.parts = [];
  }

  show(text) {
    // Each part but the first begins with a path, and ends where the next one begins.
    const parts = text.split(/(?=<path )/);
    if (!this.#patch(parts)) this.group.replaceChildren(...insideFrom(text).childNodes);
    this.parts = parts;
  }

  #patch(parts) {
    if (parts.length !== this.parts.length) return false;
    const changed = [...parts.keys()].filter((at) => parts[at] !== this.parts[at]);
    if (changed.length > MOST_CHANGED) return false;
    const alike = changed.every((at) => at > 0 && afterPath(parts[at]) === afterPath(this.parts[at]));
    if (!alike) return false;
    const paths = this.group.querySelectorAll("path");
    for (const at of changed) {
      paths[at - 1].replaceWith(...insideFrom(parts[at].slice(0, pathEnd(parts[at]))).childNodes);
    }
    return true;
  }
}

/** A path is one empty element. */
const pathEnd = (part) => part.indexOf(">") + 1;
const afterPath = (part) => part.slice(pathEnd(part));
