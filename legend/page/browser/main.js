/** Put the page together: what the server says goes to its place, what the user does to the server. */

import { Connection } from "./connection.js";
import { byId, say, worded } from "./elements.js";
import { Cutting } from "./lists/cutting.js";
import { Faults } from "./lists/faults.js";
import { Findings, inWords } from "./lists/findings.js";
import { Making } from "./lists/making.js";
import { ReadyTables } from "./lists/ready_tables.js";
import { Panel } from "./panel/panel.js";
import { Pictures } from "./pictures/pictures.js";
import { Sheet } from "./sheet.js";
import { State } from "./state.js";
import { Completing } from "./text/completing.js";
import { Editor } from "./text/editor.js";
import { Explaining } from "./text/explaining.js";
import { indexOf } from "./text/places.js";
import { Sync } from "./text/sync.js";
import { TwoTexts } from "./text/two_texts.js";

const CHOOSE = "First choose which of the two texts is to stay.";

const address = new URL("talk", location.href);
address.protocol = address.protocol === "https:" ? "wss:" : "ws:";
address.search = address.hash = "";

const connection = new Connection(address, { heard, opened: () => sync.opened(), lost: () => sync.lost() });
const editor = new Editor(byId("area"), byId("lines"), { typed, moved });
const sync = new Sync(editor, connection, told);
const completing = new Completing(editor, connection);
const explaining = new Explaining(editor, connection, byId("key-meaning"));
const sheet = new Sheet();
const panel = new Panel(connection, {
  goTo: ({ line }) => line > 0 && goToLine(line),
  over: (point) => cutting.over(point),
});
const cutting = new Cutting((piece) => panel.lightPiece(piece));
const findings = new Findings({
  shown: goToFinding,
  still: (finding) => panel.ringPlaces(finding),
  answered,
});
const making = new Making(connection, () => sync.revision());
new Pictures(connection, panel, {
  revision: () => sync.revision(),
  changedBy,
  goTo: (line) => sheet.textIsOpen && goToLine(line),
});
const ready = new ReadyTables(putIn);
const twoTexts = new TwoTexts((text) =>
  connection.send({ kind: "settle", text, revision: sync.last.revision }));
const state = new State(sync, connection);
const faults = new Faults(goToLine);

/** What the server sends by itself. */
function heard(message) {
  const actions = {
    opened: () => {
      sync.keeping.file = `${message.folder}/${message.file}`;
      state.opened(message);
      ready.show(message.ready);
    },
    text: () => sync.heard(message),
    drawing: () => drawn(message),
    unread: () => unreadable(message),
    found: () => found(message),
    cutting: () => {
      cutting.show(message);
      if (message.drawing) drawn(message.drawing);
    },
    refused: () => {
      sync.refused(message.ask);
      state.complain(message.words);
    },
  };
  actions[message.kind]?.();
}

function typed() {
  state.complain("");
  sync.typed();
  completing.typed();
  explaining.moved();
  findings.follow(editor.text);
}

function moved() {
  completing.moved();
  explaining.moved();
  panel.caret(editor.line);
  tellOfLine();
}

function tellOfLine() {
  byId("line-note").replaceChildren(...worded(findings.inLine(editor.line)));
}

function told() {
  state.show();
  const { last } = sync;
  if (last?.state === "two" && last.theirs !== null) {
    twoTexts.show(editor.text, last.theirs, last.words, sync.saved);
  } else if (last?.draft && last.theirs !== null) {
    twoTexts.offer(last.words, () => editor.bringIn(last.theirs));
  } else twoTexts.hide();
  panel.savedIs((revision) => sync.texts.get(revision) === sync.saved);
}

function drawn(drawing) {
  if (faults.mended(drawing.revision)) {
    editor.mark(findings.marks);
  }
  state.title(drawing.title);
  sheet.shape(drawing.view_box);
  panel.show(drawing);
  panel.savedIs((revision) => sync.texts.get(revision) === sync.saved);
  panel.caret(editor.line);
}

function unreadable(message) {
  faults.show(message, panel.drawing !== null);
  editor.mark(faults.marks);
}

function found(message) {
  // What was found before this page came is about a text that it never had.
  const text = sync.texts.get(message.revision);
  if (text === undefined) return;
  findings.show(message.findings, message.revision, text);
  findings.follow(editor.text);
  if (!faults.are) editor.mark(findings.marks);
  tellOfLine();
  byId("findings-head").title = inWords(message.findings);
}

function goToLine(line) {
  sheet.unfold();
  editor.goTo(line);
}

function goToFinding(finding) {
  panel.showPlaces(finding);
  if (finding.line > 0 && sheet.textIsOpen) goToLine(finding.line);
}

/** Write an answer into the description; what is said to the user. */
async function answered(finding, revision, value) {
  if (!value) return "Write down what you measured.";
  return changedBy({ kind: "answer", finding: finding.number, value }, revision);
}

async function putIn(word) {
  const revision = await sync.revision();
  const words = await changedBy({ kind: "putin", ready: word, line: editor.line }, revision);
  if (words) state.complain(words);
  else editor.area.focus();
}

/** Ask the server for a change, and make it here, so that it can be undone; words if it was not. */
async function changedBy(question, revision) {
  if (sync.last?.state === "two") return CHOOSE;
  try {
    const answer = await connection.ask({ ...question, revision });
    if (answer.kind !== "change") return answer.words ?? "It cannot be written in.";
    const done = sync.apply(answer.revision, (text) => ({
      change: { begin: indexOf(text, answer.begin), end: indexOf(text, answer.end), text: answer.text },
      select: selection(text, answer),
    }));
    return done ? "" : "The text was changed meanwhile. Please do it again.";
  } catch (error) {
    return error.message;
  }
}

/** What is selected after a change, as indexes into the text that then stands. */
function selection(text, { begin, end, text: put, select }) {
  const [from, to] = [indexOf(text, begin), indexOf(text, end)];
  const after = text.slice(0, from) + put + text.slice(to);
  return select.map((place) => indexOf(after, place));
}

function save() {
  const toSettle = sync.last?.state === "two";
  state.complain(toSettle ? CHOOSE : "");
  if (!toSettle) sync.save();
}

for (const link of document.querySelectorAll("[data-goes]")) {
  link.addEventListener("click", () => {
    byId(link.dataset.goes).scrollIntoView({ block: "start" });
    byId(link.dataset.goes).focus({ preventScroll: true });
  });
}
byId("save").addEventListener("click", save);
byId("undo").addEventListener("click", () => editor.undo());
byId("redo").addEventListener("click", () => editor.again());
byId("ask-words").addEventListener("mousedown", (event) => event.preventDefault());
byId("ask-words").addEventListener("click", () => {
  editor.area.focus();
  completing.ask();
});
byId("finding-next").addEventListener("click", () => findings.next(1));
byId("finding-before").addEventListener("click", () => findings.next(-1));
document.addEventListener("keydown", (event) => {
  if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "s") save();
  else if (event.key === "F2") findings.next(event.shiftKey ? -1 : 1);
  else if (event.key === "F4") {
    if (document.activeElement === byId("board")) {
      sheet.unfold();
      editor.area.focus();
    } else byId("board").focus();
  } else return;
  event.preventDefault();
});
addEventListener("beforeunload", (event) => {
  if (sync.loses) event.preventDefault();
});
addEventListener("pagehide", () => sync.leaves());
say("");
connection.call();
