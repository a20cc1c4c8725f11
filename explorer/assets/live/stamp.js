// What fails first, as a stamp, and the story of it. Those of a state before stay in their place while the hand moves, but greyed, and say so.

import { kilonewtons } from './balance.js';
import { attribute, element, say } from './element.js';

export class Stamp {
  #stamped = '';

  /** `box` has what fails first, `tells` its story. */
  constructor(box, tells, page) {
    Object.assign(this, { box, tells, page });
  }

  /** Shows what is known now. */
  show() {
    const { box, tells, page } = this;
    const told = page.limits?.limits;
    const fresh = page.judgedShown;
    box.hidden = !told?.fails_first;
    const range = told?.fails_first ? page.forecast?.range.beside(page.limitsOf, told) ?? '' : '';
    const of = `${fresh} ${told?.fails_first} ${told?.fails_at_kn} ${range}`;
    if (!box.hidden && this.#stamped !== of) {
      this.#stamped = of;
      box.replaceChildren(
        element('small', { textContent: `${fresh ? 'fails first' : 'failed first before'}${range ? ', with the 90 % range' : ''}` }),
        element('b', { textContent: `${told.fails_first}, ${kilonewtons(told.fails_at_kn)}${range}` }),
      );
    }
    // Stamp and story are of the same answer, and both say when it is that of a state before.
    const story = (told?.story ?? []).join(' ');
    say(tells, story && !fresh ? `Before: ${story}` : story);
    for (const part of [box, tells]) {
      part.classList.toggle('waits', !fresh);
      attribute(part, 'aria-busy', !fresh);
    }
  }
}
