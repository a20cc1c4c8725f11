// Marks what is shown of another state: grey, busy for a screen reader, and in words above it.

import { attribute, element } from './element.js';
import { sameState } from './state.js';

export class Belongs {
  #of = null;
  #about = null;
  #wanted = null;

  /** `homes` show answers; `meanwhile` says what becomes of one whose state has changed, unless `again` is a button that asks again. */
  constructor(homes, page, { meanwhile = '', again = null }) {
    Object.assign(this, { homes, page, meanwhile });
    this.said = element('span', { role: 'status' });
    this.note = element('p', { className: 'another', hidden: true, data: { test: 'another-state' } }, again ? [this.said, again] : [this.said]);
    homes[0].before(this.note);
    page.agings.push(() => this.look());
  }

  /** What is shown now was computed for this state, and where it is about one thing of several, about this one. */
  of(state, about = null) {
    [this.#of, this.#about, this.#wanted] = [state, about, about];
    this.look();
  }

  /** Something else of the state is wanted now. */
  drawn(about) {
    this.#wanted = about;
    this.look();
  }

  /** Whether something is shown that is of another state than the one that is set. */
  get another() {
    return this.#of !== null && (this.#about !== this.#wanted || !sameState(this.#of, this.page.store.state));
  }

  /** Marks it, or takes the marks away. */
  look() {
    const { another, page } = this;
    // Nothing is on its way for a state that cannot be built, or from a program that is silent.
    const more = this.meanwhile && !page.trouble.now ? `; ${this.meanwhile}` : '';
    const words = !another ? '' : sameState(this.#of, page.store.state) ? `Another measure${more}.` : `From the state before${more}.`;
    for (const home of this.homes) {
      home.classList.toggle('waits', another);
      attribute(home, 'aria-busy', another);
    }
    if (words === this.said.textContent) return;
    this.said.textContent = words;
    this.note.hidden = !another;
  }
}
