// A standing connection for what a moving hand asks. A request of its own for each question costs the browser as long as
// the solve itself; a message on an open socket costs next to nothing. Without the wire everything goes by requests.

/** A wire that broke is laid anew after so long, at the next question. */
const AGAIN_MS = 3000;

export class Wire {
  #socket = null;
  #laid = -Infinity;
  #answered = null;

  /** Whether a question can go this way now. Lays the wire when there is none. */
  get free() {
    if (this.#socket?.readyState === WebSocket.OPEN) return !this.#answered;
    if (!this.#socket && performance.now() - this.#laid > AGAIN_MS) this.#lay();
    return false;
  }

  /** Asks. Resolves to `{ status, data }`: bytes when the status is 200, else what is wrong; to null when the wire broke. */
  ask(question) {
    this.#socket.send(JSON.stringify(question));
    return new Promise((resolve) => (this.#answered = resolve));
  }

  #lay() {
    this.#laid = performance.now();
    const socket = (this.#socket = new WebSocket(`${location.origin.replace('http', 'ws')}/api/wire`));
    socket.binaryType = 'arraybuffer';
    socket.onmessage = ({ data }) => this.#answer(typeof data === 'string' ? JSON.parse(data) : { status: 200, data });
    socket.onclose = () => {
      this.#socket = null;
      this.#answer(null);
    };
  }

  #answer(answer) {
    const answered = this.#answered;
    this.#answered = null;
    answered?.(answer);
  }
}
