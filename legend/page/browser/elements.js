/** Make elements of the page; words become text, never markup. */

const SVG = "http://www.w3.org/2000/svg";

function filled(element, attributes, inside) {
  for (const [name, value] of Object.entries(attributes)) {
    if (name === "on") {
      for (const [event, action] of Object.entries(value)) element.addEventListener(event, action);
    } else if (value === true) {
      element.setAttribute(name, "");
    } else if (value !== false && value !== null && value !== undefined) {
      element.setAttribute(name, value);
    }
  }
  element.append(...inside.flat().filter((each) => each !== null && each !== undefined));
  return element;
}

/** An element with attributes, `on: {event: action}` among them, and what is inside. */
export function make(tag, attributes = {}, ...inside) {
  return filled(document.createElement(tag), attributes, inside);
}

/** The same for an element of a drawing. */
export function draw(tag, attributes = {}, ...inside) {
  return filled(document.createElementNS(SVG, tag), attributes, inside);
}

/** Words in which what stands between backquotes is to be written as it is. */
export function worded(words) {
  return words.split("`").map((part, at) => (at % 2 ? make("code", {}, part) : part));
}

/** A button that says what it does. */
export function button(words, action, attributes = {}) {
  return make("button", { type: "button", ...attributes, on: { click: action } }, words);
}

/** A drawing that came as text, as an element of this page; null where it is no drawing. */
export function drawingFrom(text) {
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml");
  const root = parsed.documentElement;
  if (root.localName !== "svg" || root.namespaceURI !== SVG) return null;
  return document.adoptNode(root);
}

/** The inside of a drawing that came as text, under one `g`. */
export function insideFrom(text) {
  const group = draw("g");
  const root = drawingFrom(`<svg xmlns="${SVG}" xmlns:xlink="http://www.w3.org/1999/xlink">${text}</svg>`);
  if (root) group.append(...root.childNodes);
  return group;
}

export const byId = (id) => document.getElementById(id);

/** Say something to whoever hears the page instead of seeing it. */
export function say(words) {
  byId("said").textContent = words;
}

/** "1 letter", "3 letters". */
export function counted(count, one, several) {
  return `${count} ${count === 1 ? one : several}`;
}
