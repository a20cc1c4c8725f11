// A standing connection for what a moving hand asks. A request of its own for each question costs the browser as long as
// the solve itself; a message on an open socket costs next to nothing. Without the wire everything goes by requests.

/** A wire that broke is laid anew after so long, at the next question. */
const AGAIN_MS = 1000;
/** Longer than the server lets a solve take: nothing will come of it any more. */
const LOST_MS = 25000;

const OPEN = 1;

export class Wire {
  #socket = null;
  #laid = -Infinity;
  #answered = null;

  /** `cut()` is told when the other end has let go. */
  constructor(cut = () => {}) {
    this.cut = cut;
  }

  /** Whether a question can go this way now. Lays the wire when there is none. */
  get free() {
    if (this.#socket?.readyState === OPEN) return !this.#answered;
    if (!this.#socket && performance.now() - this.#laid > AGAIN_MS) this.#lay();
    return false;
  }

  /** Asks. Resolves to `{ status, data }`: bytes when the status is 200, else what is wrong; to null when the wire broke. */
  ask(question) {
    const socket = this.#socket;
    socket.send(JSON.stringify(question));
    return new Promise((resolve) => {
      const lost = setTimeout(() => this.#cut(socket), LOST_MS);
      this.#answered = (answer) => {
        clearTimeout(lost);
        resolve(answer);
      };
    });
  }

  #lay() {
    this.#laid = performance.now();
    let socket;
    try {
      socket = this.#socket = new WebSocket(`${location.origin.replace('http', 'ws')}/api/wire`);
    } catch {
      // A browser that has none, or forbids it: requests do.
      this.#laid = Infinity;
      return;
    }
    socket.binaryType = 'arraybuffer';
    socket.onmessage = ({ data }) => this.#answer(typeof data === 'string' ? JSON.parse(data) : { status: 200, data });
    let laid = false;
    socket.onopen = () => (laid = true);
    socket.onclose = () => {
      this.#cut(socket);
      if (laid) this.cut();
    };
  }

  #cut(socket) {
    socket.onmessage = socket.onclose = null;
    socket.close();
    this.#socket = null;
    this.#answer(null);
  }

  #answer(answer) {
    const answered = this.#answered;
    this.#answered = null;
    answered?.(answer);
  }
}
