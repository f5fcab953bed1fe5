/** Hold the line to the server: send, hear, ask and be answered, and call again when it is cut. */

import { redrawn } from "./panel/redrawn.js";

const CALL_AGAIN = [300, 700, 1500, 3000];

export class Connection {
  /** `heard` gets each message that answers no question; `opened` and `lost` tell of the line. */
  constructor(address, { heard, opened, lost }) {
    Object.assign(this, { address, heard, opened, lost });
    this.asked = new Map();
    this.lastAsk = 0;
    this.cuts = 0;
    this.socket = null;
    this.drawing = null;
  }

  get isOpen() {
    return this.socket !== null && this.socket.readyState === WebSocket.OPEN;
  }

  call() {
    const socket = new WebSocket(this.address);
    this.socket = socket;
    socket.onopen = () => {
      this.cuts = 0;
      this.opened();
    };
    socket.onmessage = (event) => this.#hear(JSON.parse(event.data));
    socket.onclose = () => {
      for (const { fail } of this.asked.values()) fail(new Error("Legend has stopped."));
      this.asked.clear();
      this.lost();
      const wait = CALL_AGAIN[Math.min(this.cuts, CALL_AGAIN.length - 1)];
      this.cuts += 1;
      setTimeout(() => this.call(), wait);
    };
  }

  send(message) {
    if (this.isOpen) this.socket.send(JSON.stringify(message));
    return this.isOpen;
  }

  /** A number by which an answer is known. */
  number() {
    this.lastAsk += 1;
    return this.lastAsk;
  }

  /** The answer to a message; what comes before it goes to `meanwhile`. */
  ask(message, meanwhile = () => {}) {
    const ask = this.number();
    return new Promise((answer, fail) => {
      if (!this.send({ ...message, ask })) {
        fail(new Error("Legend has stopped."));
        return;
      }
      this.asked.set(ask, { answer, fail, meanwhile });
    });
  }

  #hear(said) {
    const message = said.kind === "redrawing" ? redrawn(said, this.drawing) : said;
    if (message.kind === "drawing") this.drawing = message;
    const waiting = this.asked.get(message.ask);
    if (!waiting) {
      this.heard(message);
    } else if (message.kind === "progress") {
      waiting.meanwhile(message);
    } else {
      this.asked.delete(message.ask);
      waiting.answer(message);
    }
  }
}
