/** Count places in a text as the server does: in characters, where the browser has halves. */

const HALVES = /[\ud800-\udbff][\udc00-\udfff]/;

/** The server's place of an index into the text. */
export function placeOf(text, index) {
  return HALVES.test(text) ? [...text.slice(0, index)].length : index;
}

/** The index into the text of a place that the server named. */
export function indexOf(text, place) {
  if (!HALVES.test(text)) return Math.min(place, text.length);
  let index = 0;
  for (let at = 0; at < place && index < text.length; at += 1) {
    index += text.codePointAt(index) > 0xffff ? 2 : 1;
  }
  return index;
}

/** Where the lines of a text went in another one: a function from line to line, counted from 1. */
export function linesMoved(before, now) {
  const [old, rows] = [before.split("\n"), now.split("\n")];
  const most = Math.min(old.length, rows.length);
  let head = 0;
  while (head < most && old[head] === rows[head]) head += 1;
  let tail = 0;
  while (tail < most - head && old[old.length - 1 - tail] === rows[rows.length - 1 - tail]) tail += 1;
  return (line) => (line > old.length - tail ? line + rows.length - old.length : Math.min(line, rows.length));
}
