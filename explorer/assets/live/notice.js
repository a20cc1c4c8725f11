// What became of something that was asked for, told where it is seen whatever is open; it stays until it is read. It stands under
// the head of the page and has a place of its own: what was there moves down, and nothing lies under it.

import { element } from './element.js';

/** Good news goes away by itself after so long, ms. */
const PASSING_MS = 6000;

export class Notice {
  #timer = 0;
  #of = null;

  constructor(page) {
    this.page = page;
    page.listeners.push(() => this.#past());
    this.said = element('span', { role: 'status', data: { test: 'share-status' } });
    const read = element('button', { type: 'button', className: 'icon quiet', textContent: '\u00d7', 'aria-label': 'Close this message' });
    this.box = element('div', { className: 'notice', hidden: true }, [this.said, read]);
    read.addEventListener('click', () => this.say(''));
    document.querySelector('.top').after(this.box);
  }

  /** Says something: words, or words and elements. */
  say(words, passing = false) {
    clearTimeout(this.#timer);
    this.#of = null;
    this.said.replaceChildren(...(Array.isArray(words) ? words : [words]));
    this.#show(words.length > 0);
    if (passing) this.#timer = setTimeout(() => this.#show(false), PASSING_MS);
  }

  /** Says what is so of the state that is set: with another one it goes, as soon as the hand rests. */
  sayOfState(words) {
    this.say(words);
    this.#of = this.page.store.state;
  }

  #past() {
    if (!this.#of || this.#of === this.page.store.state) return;
    // Nothing moves under a hand that holds something.
    if (this.page.drag.busy) addEventListener('pointerup', () => setTimeout(() => this.#past()), { once: true });
    else this.say('');
  }

  // Whoever has scrolled on sees the page go down by as much as the message takes, whether or not the browser holds it in place.
  #show(shown) {
    const main = document.querySelector('main');
    const [before, height] = [main.getBoundingClientRect().top, this.box.offsetHeight];
    this.box.hidden = !shown;
    const more = this.box.offsetHeight - height;
    const moved = main.getBoundingClientRect().top - before;
    if (scrollY > 0 && Math.abs(more - moved) > 1) scrollBy({ top: moved - more, behavior: 'instant' });
  }
}
