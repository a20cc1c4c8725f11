// What is shown, as one flat map: the model's name, the keys that were changed, and how it is looked at.
//
// The address after # carries all of it (link.js), so that a link or a reload brings the same picture. Undo and redo walk over
// changes of the connector and its rig; how it is looked at is not undone.

/** How the picture is looked at, before anything was chosen. */
export const VIEW = { field: 'mises', ribbon: false, enlarged: 0, linked: true };

const entries = (map) => Object.entries(map).map(([key, value]) => `${key}=${value}`).sort().join('\n');

/** Whether two models are the same, as a link tells them: a number is the same whether it came as a text or not. */
export const sameModel = (a, b) => a === b || (typeof a !== 'string' && typeof b !== 'string' && entries(a) === entries(b));

/** The same of two states. */
export const sameState = (a, b) => sameModel(a.model, b.model) && entries(a.set) === entries(b.set);

/** What is set at both ends of the rig at once stands as what is set at each; what comes last holds, as for the program. */
export function apart(set) {
  const out = {};
  for (const [key, value] of Object.entries(set)) {
    for (const one of key.startsWith('rig.both.') ? ['upper', 'lower'].map((end) => key.replace('both', end)) : [key]) {
      delete out[one];
      out[one] = value;
    }
  }
  return out;
}

const copy = (state) => ({ model: state.model, set: apart(state.set) });
const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);
/** Changes of the same key within this time are one step to undo. */
const TOGETHER_MS = 900;

/**
 * The state with its history. Listeners get `(store, what, before)`; what is 'state' or 'view', and `before` the state that a
 * big step (another model, a whole other state) left behind.
 */
export class Store {
  #past = [];
  #future = [];
  #last = { key: '', at: 0 };
  #listeners = [];

  constructor(state, view) {
    this.state = copy(state);
    this.view = { ...VIEW, ...view };
  }

  listen(listener) {
    this.#listeners.push(listener);
  }

  #tell(what, before = null) {
    for (const listener of this.#listeners) listener(this, what, before);
  }

  /** Changes keys; undefined takes a key back to the model's value. */
  change(changes, { hand = false } = {}) {
    const next = copy(this.state);
    for (const [key, value] of Object.entries(changes)) {
      if (value === undefined) delete next.set[key];
      else next.set[key] = value;
    }
    this.#step(next, Object.keys(changes).join(' '), hand);
  }

  /** Another model, or a whole other state. */
  replace(state) {
    this.#step(copy(state), '', false, true);
  }

  /** The same step once more, mended: no step of its own. */
  amend(state) {
    this.state = copy(state);
    this.#tell('state');
  }

  #step(next, key, hand, big = false) {
    if (same(next, this.state)) return;
    const now = performance.now();
    const joins = key && key === this.#last.key && (hand || now - this.#last.at < TOGETHER_MS);
    if (!joins) this.#past.push(this.state);
    if (this.#past.length > 200) this.#past.shift();
    this.#future = [];
    this.#last = { key, at: now };
    const before = this.state;
    this.state = next;
    this.#tell('state', big ? before : null);
  }

  /** The hand has let go: the next change is a step of its own. */
  rest() {
    this.#last = { key: '', at: 0 };
  }

  get canUndo() {
    return this.#past.length > 0;
  }

  get canRedo() {
    return this.#future.length > 0;
  }

  undo() {
    if (!this.canUndo) return;
    this.#future.push(this.state);
    this.state = this.#past.pop();
    this.rest();
    this.#tell('state');
  }

  redo() {
    if (!this.canRedo) return;
    this.#past.push(this.state);
    this.state = this.#future.pop();
    this.rest();
    this.#tell('state');
  }

  look(changes) {
    Object.assign(this.view, changes);
    this.#tell('view');
  }
}
