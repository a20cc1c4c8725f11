// What comes to the page from elsewhere: a link, and another connector that is hung into the rig of the one before.

import { leftWords, rigFor } from './bench_rig.js';
import { isAsOpened, openedByLink, tellBack } from './last_state.js';
import { apart } from './state.js';
import { Taking } from './taking.js';
import { shortened } from './words.js';

/** The state of a link; what it leaves open is as the program opens the page. */
export const stateOf = ({ state }, { opens_with: first }) => (state ? { ...state, model: state.model ?? first.model } : first);

export class Coming {
  #taking;

  constructor(page) {
    this.page = page;
    this.#taking = new Taking(page);
  }

  /** Opens a link, as far as it goes. */
  open(link) {
    const { store, told } = this.page;
    Object.assign(store.view, link.view);
    store.replace(stateOf(link, told));
    this.arrived(link);
    store.look({});
  }

  /** A link is open: what of it could not be taken is told with its key and value, and its kept states are put beside. */
  arrived(link) {
    if (!link.state) return;
    const { compare, notice } = this.page;
    if (!link.left) openedByLink(this.page);
    const full = compare.put(link.kept);
    const missing = link.state.model ? [] : [{ key: 'model', value: '', says: 'the link names no connector' }];
    const tell = (left) => {
      const parts = [...link.wrong, ...missing, ...left].map(({ key, value, says, allowed }) => `${key} = ${shortened(value)} (${says ?? `allowed: ${allowed}`})`);
      const unusable = parts.length ? `This part of ${link.left ? 'it' : 'the link'} could not be used: ${parts.join('; ')}. The rest is open.` : '';
      // One message: a second one would take the place of the first.
      if (link.left) tellBack(this.page, unusable);
      else if (unusable || full) notice.say([unusable, full].filter(Boolean).join(' '));
    };
    this.#taking.watch(['model', ...Object.keys(apart(link.state.set))], tell);
    tell([]);
  }

  /** Hangs another connector into the rig. */
  hang(model) {
    const set = rigFor(model, this.page);
    this.page.store.replace({ model, set });
    this.#taking.watch(Object.keys(set), (left) => this.page.notice.sayOfState(leftWords(left, this.page)));
  }

  /** The program has refused a state; whether that was dealt with here. */
  refused(error, state) {
    const untouched = isAsOpened(state, this.page.store.view);
    const dealt = this.#taking.refused(error, state);
    if (dealt && untouched) openedByLink(this.page);
    return dealt;
  }

  /** The program has solved a state. */
  solved(state) {
    this.#taking.arrived(state);
  }
}
