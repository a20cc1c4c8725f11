// What is shown, as one flat map: the model's name, the keys that were changed, and how it is looked at.
//
// The address after # carries all of it, so that a link or a reload brings the same picture. Undo and redo walk over
// changes of the connector and its rig; how it is looked at is not undone.

/** How the picture is looked at, before anything was chosen. */
export const VIEW = { field: 'mises', ribbon: false, enlarged: 0, linked: true };

const number = (text) => (/^-?\d+(\.\d+)?(e-?\d+)?$/i.test(text) ? Number(text) : text);

/** State and view from an address's hash; null when it holds none. */
export function fromHash(hash) {
  const pairs = new URLSearchParams(hash.replace(/^#/, ''));
  if (!pairs.has('model') && ![...pairs.keys()].some((k) => k.startsWith('~'))) return null;
  const own = {};
  const set = {};
  const view = { ...VIEW };
  for (const [key, value] of pairs) {
    if (key === 'v' || key === 'model') continue;
    if (key.startsWith('~')) own[key.slice(1)] = number(value);
    else if (!key.startsWith('view.')) set[key] = number(value);
    else if (key.slice(5) in VIEW) {
      const kind = typeof VIEW[key.slice(5)];
      view[key.slice(5)] = kind === 'boolean' ? value === 'yes' : kind === 'number' ? Number(value) || 0 : value;
    }
  }
  return { state: { model: pairs.get('model') ?? own, set }, view };
}

/** The hash that brings a state back. */
export function toHash({ model, set }, view) {
  const pairs = new URLSearchParams({ v: '1' });
  if (typeof model === 'string') pairs.set('model', model);
  else for (const [k, v] of Object.entries(model)) pairs.set(`~${k}`, String(v));
  for (const [k, v] of Object.entries(set)) pairs.set(k, String(v));
  for (const [k, v] of Object.entries(view)) {
    if (k in VIEW && v !== VIEW[k]) pairs.set(`view.${k}`, v === true ? 'yes' : v === false ? 'no' : String(v));
  }
  return `#${pairs}`;
}

const copy = (state) => ({ model: state.model, set: { ...state.set } });
const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);
/** Changes of the same key within this time are one step to undo. */
const TOGETHER_MS = 900;

/** The state with its history. Listeners get `(store, what)`; what is 'state' or 'view'. */
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

  #tell(what) {
    for (const listener of this.#listeners) listener(this, what);
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
    this.#step(copy(state), '', false);
  }

  #step(next, key, hand) {
    if (same(next, this.state)) return;
    const now = performance.now();
    const joins = key && key === this.#last.key && (hand || now - this.#last.at < TOGETHER_MS);
    if (!joins) this.#past.push(this.state);
    if (this.#past.length > 200) this.#past.shift();
    this.#future = [];
    this.#last = { key, at: now };
    this.state = next;
    this.#tell('state');
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
