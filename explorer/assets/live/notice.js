// What became of something that was asked for, told where it is seen whatever is open; it stays until it is read.

import { element } from './element.js';

/** Good news goes away by itself after so long, ms. */
const PASSING_MS = 6000;

export class Notice {
  #timer = 0;

  constructor() {
    this.said = element('span', { role: 'status', data: { test: 'share-status' } });
    const read = element('button', { type: 'button', className: 'icon quiet', textContent: '\u00d7', 'aria-label': 'Close this message' });
    this.box = element('div', { className: 'notice', hidden: true }, [this.said, read]);
    read.addEventListener('click', () => this.say(''));
    document.body.append(this.box);
  }

  /** Says something: words, or words and elements. */
  say(words, passing = false) {
    clearTimeout(this.#timer);
    this.said.replaceChildren(...(Array.isArray(words) ? words : [words]));
    this.box.hidden = !words.length;
    if (passing) this.#timer = setTimeout(() => (this.box.hidden = true), PASSING_MS);
  }
}
