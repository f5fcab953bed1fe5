async ({ rounds, seed }) => {
  const { Sync } = await import("./browser/text/sync.js");
  const { merged } = await import("./browser/text/merging.js");
  let state = seed;
  const chance = (below) => {
    state = (state * 1103515245 + 12345) % 2147483648;
    return Math.floor((state / 2147483648) * below);
  };
  const begun = Array.from({ length: 12 }, (_, at) => `line ${at}:`).join("\n");
  const server = { text: begun, revision: 1, past: new Map([[1, begun]]) };
  const pages = [0, 1].map((own) => {
    const page = { toServer: [], toPage: [], typed: [] };
    const editor = {
      text: "", composing: false,
      begin(text) { this.text = text; },
      bringIn(text) { this.text = text; page.sync.typed(); },
    };
    let ask = 0;
    const connection = {
      isOpen: true,
      number: () => (ask += 1),
      send: (message) => { page.toServer.push(message); return true; },
    };
    page.editor = editor;
    page.sync = new Sync(editor, connection, () => {});
    page.sync.opened();
    page.type = (word) => {
      const lines = editor.text.split("\n");
      const at = own * 7 + chance(5);
      const line = lines.findIndex((each) => each.startsWith(`line ${at}:`));
      lines[line] += ` ${word}`;
      page.typed.push(word);
      editor.text = lines.join("\n");
      page.sync.typed();
    };
    return page;
  });
  const tell = (by, ask) => {
    for (const page of pages) {
      page.toPage.push({
        kind: "text", revision: server.revision, text: server.text, state: "unsaved", words: "",
        theirs: null, draft: false, answers: page === by ? ask : 0,
      });
    }
  };
  const deliver = (page) => {
    if (page.toPage.length) page.sync.heard(page.toPage.shift());
  };
  const take = (page) => {
    const message = page.toServer.shift();
    if (!message) return;
    const text = merged(server.past.get(message.base), message.text, server.text);
    if (text === null) throw new Error("These changes are in different places.");
    if (text !== server.text) {
      server.text = text;
      server.revision += 1;
      server.past.set(server.revision, text);
    }
    tell(page, message.ask);
  };
  tell(null, 0);
  for (const page of pages) deliver(page);
  for (let round = 0; round < rounds; round += 1) {
    const page = pages[chance(2)];
    const what = chance(10);
    if (what < 4) page.type(`w${round}`);
    else if (what < 7) take(page);
    else deliver(page);
  }
  for (let round = 0; round < 200; round += 1) {
    for (const page of pages) {
      take(page);
      deliver(page);
    }
  }
  for (const page of pages) clearTimeout(page.sync.timer);
  return {
    texts: [server.text, ...pages.map((page) => page.editor.text)],
    typed: pages.flatMap((page) => page.typed),
  };
}
