/** Compare texts and bring two changes of one text together. */

/** Larger parts than this many lines times lines are taken as changed whole. */
const MOST_COMPARED = 4_000_000;

/** The least range that differs: `begin` to `end` of the one gives way to `text` of the other. */
export function leastChange(from, to) {
  const most = Math.min(from.length, to.length);
  let begin = 0;
  while (begin < most && from[begin] === to[begin]) begin += 1;
  if (begin > 0 && isFirstHalf(from, begin - 1)) begin -= 1;
  let tail = 0;
  while (tail < most - begin && from[from.length - 1 - tail] === to[to.length - 1 - tail]) tail += 1;
  if (tail > 0 && isSecondHalf(from, from.length - tail)) tail -= 1;
  return { begin, end: from.length - tail, text: to.slice(begin, to.length - tail) };
}

const isFirstHalf = (text, at) => (text.charCodeAt(at) & 0xfc00) === 0xd800;
const isSecondHalf = (text, at) => (text.charCodeAt(at) & 0xfc00) === 0xdc00;

export const changed = (text, { begin, end, text: put }) =>
  text.slice(0, begin) + put + text.slice(end);

/** Runs of lines that differ: lines `a0` to `a1` of the one stand for `b0` to `b1` of the other. */
export function differences(one, other) {
  let head = 0;
  const most = Math.min(one.length, other.length);
  while (head < most && one[head] === other[head]) head += 1;
  let tail = 0;
  while (tail < most - head && one[one.length - 1 - tail] === other[other.length - 1 - tail]) {
    tail += 1;
  }
  const a = one.slice(head, one.length - tail);
  const b = other.slice(head, other.length - tail);
  if (a.length * b.length === 0 || a.length * b.length > MOST_COMPARED) {
    if (a.length + b.length === 0) return [];
    return [{ a0: head, a1: head + a.length, b0: head, b1: head + b.length }];
  }
  return runs(a, b, commonLengths(a, b), head);
}

/** How many lines are common to what follows each pair of places. */
function commonLengths(a, b) {
  const width = b.length + 1;
  const lengths = new Uint32Array((a.length + 1) * width);
  for (let i = a.length - 1; i >= 0; i -= 1) {
    for (let j = b.length - 1; j >= 0; j -= 1) {
      lengths[i * width + j] =
        a[i] === b[j]
          ? lengths[(i + 1) * width + j + 1] + 1
          : Math.max(lengths[(i + 1) * width + j], lengths[i * width + j + 1]);
    }
  }
  return lengths;
}

function runs(a, b, lengths, head) {
  const width = b.length + 1;
  const found = [];
  let [i, j] = [0, 0];
  while (i < a.length || j < b.length) {
    const [i0, j0] = [i, j];
    while ((i < a.length || j < b.length) && !(i < a.length && j < b.length && a[i] === b[j])) {
      const first = j >= b.length || (i < a.length && lengths[(i + 1) * width + j] >= lengths[i * width + j + 1]);
      if (first) i += 1;
      else j += 1;
    }
    if (i > i0 || j > j0) found.push({ a0: head + i0, a1: head + i, b0: head + j0, b1: head + j });
    while (i < a.length && j < b.length && a[i] === b[j]) [i, j] = [i + 1, j + 1];
  }
  return found;
}

/** The least changes that make one text the other, each within lines that differ, in order. */
export function changesByLine(from, to) {
  const [one, other] = [from.split("\n"), to.split("\n")];
  const begins = [0];
  for (const line of one) begins.push(begins.at(-1) + line.length + 1);
  return differences(one, other).map(({ a0, a1, b0, b1 }) => {
    const put = other.slice(b0, b1).join("\n");
    // Lines that are only there in one of the texts come, or go, with a line end.
    if (a0 === a1) {
      return a0 < one.length
        ? { begin: begins[a0], end: begins[a0], text: `${put}\n` }
        : { begin: from.length, end: from.length, text: `\n${put}` };
    }
    if (b0 === b1) {
      return a1 < one.length
        ? { begin: begins[a0], end: begins[a1], text: "" }
        : { begin: Math.max(0, begins[a0] - 1), end: from.length, text: "" };
    }
    const begin = begins[a0];
    const change = leastChange(from.slice(begin, begins[a1] - 1), put);
    return { begin: begin + change.begin, end: begin + change.end, text: change.text };
  });
}

/** Both changes of `base` in one text; null where they are about the same characters. */
export function merged(base, mine, theirs) {
  if (mine === theirs || base === theirs) return mine;
  if (base === mine) return theirs;
  const lines = base.split("\n");
  const [ours, others] = [mine.split("\n"), theirs.split("\n")];
  const steps = [
    ...differences(lines, ours).map((each) => ({ ...each, whose: 0 })),
    ...differences(lines, others).map((each) => ({ ...each, whose: 1 })),
  ].sort((a, b) => a.a0 - b.a0 || a.a1 - b.a1);
  const out = [];
  let at = 0;
  for (const cluster of clusters(steps)) {
    out.push(...lines.slice(at, cluster.a0));
    const was = lines.slice(cluster.a0, cluster.a1);
    const [one, two] = [version(cluster, 0, lines, ours), version(cluster, 1, lines, others)];
    if (one.length + was.length + two.length === 0) continue;
    const both = mergedLines(was, one, two);
    if (both === null) return null;
    out.push(...both);
    at = cluster.a1;
  }
  out.push(...lines.slice(at));
  return out.join("\n");
}

function clusters(steps) {
  const found = [];
  for (const step of steps) {
    const last = found.at(-1);
    const meets =
      last &&
      (step.a0 < last.a1 || (step.a0 === step.a1 && last.a0 === last.a1 && step.a0 === last.a0));
    if (meets) {
      last.steps.push(step);
      last.a1 = Math.max(last.a1, step.a1);
    } else {
      found.push({ a0: step.a0, a1: step.a1, steps: [step] });
    }
  }
  return found;
}

/** The lines of a cluster as one of the two has them. */
function version(cluster, whose, lines, theirs) {
  const out = [];
  let at = cluster.a0;
  for (const step of cluster.steps.filter((each) => each.whose === whose)) {
    out.push(...lines.slice(at, step.a0), ...theirs.slice(step.b0, step.b1));
    at = step.a1;
  }
  return [...out, ...lines.slice(at, cluster.a1)];
}

/** A change of whole words, so that of two numbers written into one place no third one comes. */
function byWords(base, { begin, end, text }) {
  const isWord = (letter) => letter !== undefined && /[\p{L}\p{N}_.+-]/u.test(letter);
  let [from, to] = [begin, end];
  if (isWord(base[begin]) || isWord(text[0])) while (isWord(base[from - 1])) from -= 1;
  if (isWord(base[end - 1]) || isWord(text.at(-1))) while (isWord(base[to])) to += 1;
  return { begin: from, end: to, text: base.slice(from, begin) + text + base.slice(end, to) };
}

function mergedLines(was, one, two) {
  const same = (a, b) => a.length === b.length && a.every((line, at) => line === b[at]);
  if (same(one, two) || same(was, two)) return one;
  if (same(was, one)) return two;
  if (was.length === 0 || one.length === 0 || two.length === 0) return null;
  const base = was.join("\n");
  const [first, second] = [one, two]
    .map((each) => byWords(base, leastChange(base, each.join("\n"))))
    .sort((a, b) => a.begin - b.begin || a.end - b.end);
  const meet = first.end > second.begin || (first.begin === second.begin && first.end === second.end);
  return meet ? null : changed(changed(base, second), first).split("\n");
}
