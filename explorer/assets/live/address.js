// The address follows the state, so that a reload or a copy of it loses nothing. Each model opened and each big step is an entry
// of the browser's history; small steps replace the entry that they stand in.

import { rememberLast } from './last_state.js';
import { fromHash, toHash } from './link.js';

/** A hand that rests for so long has made a step. */
const SOON_MS = 60;

const $ = (id) => document.getElementById(id);

export class Address {
  #coming = false;
  #soon = 0;

  /** `came(link)` hears of an address that somebody typed or walked back to. */
  constructor(page, came) {
    Object.assign(this, { page, came });
    page.store.listen((_, what, before) => {
      if (before && !this.#coming) this.#step(before);
      // Not while a hand moves, it costs a frame; but a reload may follow a step at once.
      clearTimeout(this.#soon);
      this.#soon = setTimeout(() => page.drag.busy || this.write(), SOON_MS);
    });
    addEventListener('beforeunload', () => this.write());
    // Walking back and forth tells the first, a link within the page or a typed hash both.
    for (const event of ['popstate', 'hashchange']) addEventListener(event, () => this.#come());
    document.addEventListener('click', (e) => this.#follow(e));
  }

  get #now() {
    return toHash(this.page.store.state, this.page.store.view);
  }

  /** Writes the state into the address. */
  write() {
    const now = this.#now;
    if (location.hash !== now) history.replaceState(null, '', now);
    this.#lead(now);
    rememberLast(this.page);
  }

  #step(before) {
    const { view } = this.page.store;
    history.replaceState(null, '', toHash(before, view));
    history.pushState(null, '', this.#now);
    this.#lead(this.#now);
  }

  // A section's link opened in another tab, or copied, brings the state along.
  #lead(now) {
    for (const link of document.querySelectorAll('nav a[data-at]')) link.setAttribute('href', `${now}&at=${link.dataset.at}`);
  }

  #come() {
    if (location.hash === this.#now) return;
    const link = fromHash(location.hash);
    if (!link.state) {
      // The name of a section, typed: the browser has gone there already.
      this.write();
      return;
    }
    this.#coming = true;
    this.came(link);
    this.#coming = false;
    this.write();
  }

  #follow(event) {
    const link = event.target.closest?.('a[data-at]');
    if (!link || event.defaultPrevented || event.button || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
    event.preventDefault();
    goTo(link.dataset.at);
  }
}

/** Scrolls to a part of the page and puts the focus there, for who goes on by keyboard. */
export function goTo(id) {
  const part = $(id);
  if (!part) return;
  const target = part.tabIndex >= 0 ? part : (part.querySelector('h2') ?? part);
  if (target.tabIndex < 0) target.tabIndex = -1;
  part.scrollIntoView();
  target.focus({ preventScroll: true });
}
