// Questions to the server, and which answers still count.
//
// Of each kind of question one is on its way and at most one waits: the newest. So a slow solve never builds up a queue,
// and an answer that a newer question overtook is dropped.

import { Wire } from './wire.js';

const session = Array.from(crypto.getRandomValues(new Uint8Array(12)), (b) => b.toString(16).padStart(2, '0')).join('');

/** An answer that says what is wrong: `message`, `status`, `mistakes`. */
export class Refusal extends Error {
  constructor(status, body) {
    super(body?.error ?? 'The program did not answer.');
    this.status = status;
    this.mistakes = body?.mistakes ?? [];
  }
}

/** How far a slow answer has come is asked so often. */
const PROGRESS_MS = 250;
const tickets = new Map();
const cuts = [];
const wire = new Wire(() => cuts.forEach((told) => told()));

/** Calls `told` when the standing connection was cut by the program. */
export function whenCut(told) {
  cuts.push(told);
}

function envelope(kind, body) {
  const ticket = (tickets.get(kind) ?? 0) + 1;
  tickets.set(kind, ticket);
  return { version: 2, session: session + kind.replace(/\W/g, ''), ticket, ...body };
}

/** Asks for a picture, by the wire when it is free; bytes, or null when a newer question overtook this one. */
export async function solve(body) {
  if (!wire.free) return ask('solve', body, 'bytes');
  const answer = await wire.ask(envelope('wire', body));
  // A wire that broke in the middle: the question is asked again, by a request.
  if (!answer) return ask('solve', body, 'bytes');
  if (answer.status === 200) return answer.data;
  if (answer.status === 409) return null;
  throw new Refusal(answer.status, answer);
}

/** Asks once. `as`: 'json', 'bytes', 'text' or 'blob'. Resolves to null when a newer question overtook this one; `signal` calls it off. */
export function ask(address, body, as = 'json', kind = address, signal = undefined) {
  return put(address, envelope(kind, body), as, kind, signal);
}

/** Sends a file behind its question, its bytes as they are. Resolves to JSON, or to null when a newer question overtook this one. */
export function carry(address, body, file, kind = address) {
  const question = envelope(kind, body);
  const json = new TextEncoder().encode(JSON.stringify(question));
  const length = new Uint8Array(4);
  new DataView(length.buffer).setUint32(0, json.length, true);
  return put(address, question, 'json', kind, undefined, new Blob([length, json, ...(file ? [file] : [])]));
}

/**
 * Asks what takes a while. `told({ done, of, says })` hears how far it has come; `signal` calls it off, which ends the work. `as`: as for
 * `ask`. Resolves to null when it was called off or a newer question overtook it.
 */
export async function follow(address, body, told, signal, kind = address, as = 'json') {
  const question = envelope(kind, body);
  const { version, session, ticket } = question;
  const timer = setInterval(async () => {
    const response = await fetch('/api/progress', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ version, session, ticket, of: `/api/${address}` }),
    }).catch(() => null);
    const progress = response?.ok ? await response.json().catch(() => null) : null;
    if (progress?.working) told(progress);
  }, PROGRESS_MS);
  try {
    return await put(address, question, as, kind, signal);
  } catch (error) {
    if (signal.aborted) return null;
    throw error;
  } finally {
    clearInterval(timer);
  }
}

async function put(address, question, as, kind, signal, carried = null) {
  let response;
  try {
    response = await fetch(`/api/${address}`, {
      method: 'POST',
      headers: { 'Content-Type': carried ? 'application/octet-stream' : 'application/json' },
      body: carried ?? JSON.stringify(question),
      signal,
    });
  } catch {
    throw new Refusal(0, { error: 'The program cannot be reached. Is pullmap explore still running?' });
  }
  if (response.status === 409) {
    // Read to its end, or the browser holds the connection open for it.
    await response.text();
    return null;
  }
  if (!response.ok) throw new Refusal(response.status, await response.json().catch(() => null));
  const read = { json: 'json', bytes: 'arrayBuffer', text: 'text', blob: 'blob' }[as];
  const answer = await response[read]();
  // Files that were asked for are handed out, even when another one was asked for meanwhile.
  const superseded = as === 'json' && tickets.get(kind) !== question.ticket;
  return superseded ? null : answer;
}

/** Models, parameters, materials. */
export async function start() {
  const response = await fetch('/api/start');
  if (!response.ok) throw new Refusal(response.status, null);
  return response.json();
}

/**
 * One question at a time, the newest next. `run(question)` returns a promise; `done(answer, question)` and
 * `failed(error, question)` are told of those answers that arrive.
 */
export class Line {
  #waiting = null;
  #busy = false;

  constructor(run, done, failed) {
    Object.assign(this, { run, done, failed });
  }

  get idle() {
    return !this.#busy;
  }

  put(question) {
    this.#waiting = question;
    if (!this.#busy) this.#go();
  }

  async #go() {
    this.#busy = true;
    while (this.#waiting) {
      const question = this.#waiting;
      this.#waiting = null;
      try {
        const answer = await this.run(question);
        if (answer) this.done(answer, question);
      } catch (error) {
        // A newer question makes the old one's trouble uninteresting.
        if (!this.#waiting) this.failed(error, question);
      }
    }
    this.#busy = false;
  }
}
