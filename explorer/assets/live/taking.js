// States from elsewhere (a link, the rig of the connector before) are taken as far as the program takes them: what it refuses is
// left out, and told with the program's own reason. The page has no rules of its own.

import { mistakeWords } from './words.js';

/** Of what belongs together an offset goes first, then a size, then the kind. */
const ORDER = ['offset_mm', 'engaged_mm', 'width_mm', 'diameter_mm', 'stiffness_n_per_mm2', 'strap_strength_kn', 'kind'];
const rank = (key) => (ORDER.indexOf(key.split('.').at(-1)) + ORDER.length + 1) % (ORDER.length + 1);
const MOST_ROUNDS = 24;

const both = (key) => (key.startsWith('rig.both.') ? [key.replace('both', 'upper'), key.replace('both', 'lower'), key] : [key]);
const names = (key, blamed) => both(key).some((one) => one === blamed || one.startsWith(`${blamed}.`) || blamed.startsWith(`${one}.`));
const parent = (key) => key.slice(0, key.lastIndexOf('.'));

export class Taking {
  #now = null;

  constructor(page) {
    this.page = page;
  }

  /**
   * Watches the present state: of `keys` those are left out that the program refuses, and when it has taken the rest `told`
   * hears of them: a list of `{ key, value, says }`.
   */
  watch(keys, told) {
    this.#now = { keys: new Set(keys), told, left: [], rounds: 0, state: this.page.store.state };
  }

  /** Whether a refusal was dealt with here. */
  refused(error, state) {
    const now = this.#now;
    if (!now || state !== now.state || error.status !== 422 || now.rounds++ > MOST_ROUNDS) return false;
    const next = { model: state.model, set: { ...state.set } };
    for (const mistake of error.mistakes) this.#leave(next, mistake, now);
    if (JSON.stringify(next) === JSON.stringify(state)) return false;
    this.page.store.amend(next);
    now.state = this.page.store.state;
    return true;
  }

  #leave(next, mistake, now) {
    const { told } = this.page;
    const says = mistakeWords({ ...mistake, hint: '' }, told).replace(/[.]$/, '').replace(/^Found /, 'found ');
    const leave = (key, value) => now.left.push({ key, value, says, hint: mistake.hint });
    const open = Object.keys(next.set).filter((key) => now.keys.has(key));
    const named = open.filter((key) => names(key, mistake.key));
    for (const key of named) {
      leave(key, next.set[key]);
      delete next.set[key];
    }
    if (named.length) return;
    if (mistake.key === 'model' && now.keys.has('model')) {
      leave('model', next.model);
      next.model = told.opens_with.model;
      return;
    }
    const own = typeof next.model === 'object' && now.keys.has('model') ? next.model : {};
    if (mistake.key in own) {
      leave(`~${mistake.key}`, own[mistake.key]);
      const { [mistake.key]: _, ...rest } = own;
      const needed = told.parameters.some((p) => p.key === mistake.key && !p.left_out);
      // A connector without a measure that it needs is none.
      next.model = needed ? told.opens_with.model : rest;
      return;
    }
    // To blame is a value of the model's own beside one that was brought along: that one does not fit here.
    const [beside] = open.filter((key) => both(key).some((one) => parent(one) === parent(mistake.key))).sort((a, b) => rank(a) - rank(b));
    if (!beside) return;
    leave(beside, next.set[beside]);
    delete next.set[beside];
  }

  /** The program has taken a state. */
  arrived(state) {
    const now = this.#now;
    if (!now) return;
    if (state !== now.state && state !== this.page.store.state) return;
    this.#now = null;
    if (now.left.length) now.told(now.left);
  }
}
