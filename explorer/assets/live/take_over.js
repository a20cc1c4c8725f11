// A cause of an explanation, taken over: what would have differed is set on the page, in one step to undo.

import { element } from './element.js';
import { sameState } from './state.js';

const number = (text) => (/^-?\d+(\.\d+)?$/.test(text) ? Number(text) : text);

/** A state with keys put over it, each as after `--set`. */
export function withSets({ model, set }, sets) {
  const changed = { ...set };
  for (const one of sets) {
    const at = one.indexOf('=');
    const key = one.slice(0, at);
    // What comes last holds, also over both ends of the rig.
    delete changed[key];
    changed[key] = number(one.slice(at + 1));
  }
  return { model, set: changed };
}

/** The buttons of one explanation. `state` is the one that was explained: a cause is put over that. */
export class TakeOver {
  #buttons = [];

  constructor(page) {
    this.page = page;
    page.store.listen((_, what) => what === 'state' && this.#show());
  }

  /** Forgets the buttons of the explanation before. */
  begin(state) {
    this.state = { model: state.model, set: { ...state.set } };
    this.#buttons = [];
  }

  /** A button that sets a cause; nothing for one that no key has, or that changes nothing. */
  button({ cause, keys }) {
    if (!keys?.length) return [];
    const made = element('button', { type: 'button', className: 'quiet take-over', data: { test: 'take-over' }, title: keys.join(', ') });
    const wanted = withSets(this.state, keys);
    made.addEventListener('click', () => {
      if (sameState(this.page.store.state, wanted)) return;
      this.page.store.replace(wanted);
      this.page.say(`Set on the page: ${cause}. Undo takes it back.`);
    });
    this.#buttons.push({ made, wanted, cause });
    this.#show();
    return [made];
  }

  /** Whether one of the causes is what is set now. */
  get on() {
    return this.#buttons.some(({ wanted }) => sameState(this.page.store.state, wanted));
  }

  #show() {
    for (const { made, wanted, cause } of this.#buttons) {
      const on = sameState(this.page.store.state, wanted);
      made.textContent = on ? 'Set on the page' : 'Set this';
      made.setAttribute('aria-label', `${made.textContent}: ${cause}`);
      made.setAttribute('aria-pressed', String(on));
    }
  }
}
