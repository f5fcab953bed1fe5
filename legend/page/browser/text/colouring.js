/** Part a line of TOML into what is coloured alike: remarks, heads of tables, keys, values. */

const ENDS = { '"""': /"""/, "'''": /'''/ };
const VALUE = /("""|''')|"(?:\\.|[^"\\])*"?|'[^']*'?|#.*$|\b(?:true|false)\b|[+-]?\d[\w.+:-]*|[^"'#\d+\-tf]+|./g;

/** The parts of a line as [sort, text], and the quotes that are still open after it. */
export function coloured(line, open) {
  const parts = [];
  let rest = line;
  if (open) {
    const end = rest.search(ENDS[open]);
    if (end < 0) return { parts: [["text", line]], open };
    parts.push(["text", rest.slice(0, end + 3)]);
    rest = rest.slice(end + 3);
  } else {
    const head = /^\s*\[[^#]*/.exec(rest);
    if (head) {
      parts.push(["table", head[0]]);
      rest = rest.slice(head[0].length);
    } else {
      const key = /^(\s*(?:[\w.-]+|"[^"]*"|'[^']*')+\s*)(?==)/.exec(rest);
      if (key) {
        parts.push(["key", key[0]]);
        rest = rest.slice(key[0].length);
      }
    }
  }
  return values(rest, parts);
}

function values(text, parts) {
  VALUE.lastIndex = 0;
  for (let found = VALUE.exec(text); found; found = VALUE.exec(text)) {
    const [token, quotes] = found;
    if (quotes) {
      const end = text.slice(VALUE.lastIndex).search(ENDS[quotes]);
      if (end < 0) {
        parts.push(["text", text.slice(found.index)]);
        return { parts, open: quotes };
      }
      VALUE.lastIndex += end + 3;
      parts.push(["text", text.slice(found.index, VALUE.lastIndex)]);
    } else {
      parts.push([sort(token), token]);
    }
  }
  return { parts, open: "" };
}

function sort(token) {
  if (token[0] === "#") return "remark";
  if (token[0] === '"' || token[0] === "'") return "text";
  if (/^(?:true|false|[+-]?\d)/.test(token)) return "number";
  return "";
}
