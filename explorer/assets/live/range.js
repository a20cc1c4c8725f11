// How sure the forecast is: its 90 % range and the marking, asked for in the background once the hand has rested: soon where it is
// in sight, else when the page has rested for a while and nothing else is at work.

import { kilonewtons } from './balance.js';
import { ask } from './connection.js';
import { element } from './element.js';
import { atWork } from './following.js';
import { whenSeen } from './seen.js';
import { named, part } from './words.js';

/** As long as this the hand must have rested. */
const PATIENCE_MS = 350;
/** And as long as this where nobody looks at the forecast: the range stands beside what fails first as well. */
const QUIET_MS = 2000;

export class Range {
  #asked = null;
  #of = null;
  #forecast = null;
  #trouble = '';
  #off = null;

  /** `changed` is called when there is something new to show. */
  constructor(home, page, changed) {
    Object.assign(this, { page, changed });
    const go = whenSeen(home, () => this.#go());
    page.listeners.push(() => {
      clearTimeout(this.later);
      this.later = setTimeout(go, PATIENCE_MS);
      this.#quietly();
    });
    // What is of another state now is called off: the hand needs the program.
    page.agings.push(() => this.#asked && this.#asked !== page.store.state && this.#off?.abort());
  }

  #quietly() {
    clearTimeout(this.quiet);
    const { page } = this;
    this.quiet = setTimeout(() => {
      if (page.drag.busy || atWork() || !page.solves.idle || !page.judged.idle) this.#quietly();
      else this.#go();
    }, QUIET_MS);
  }

  async #go() {
    const { state } = this.page.store;
    if (!this.page.limitsNow || state === this.#asked) return;
    this.#asked = state;
    if (this.#trouble) {
      this.#trouble = '';
      this.changed();
    }
    const off = new AbortController();
    try {
      this.#off = off;
      const answer = await ask('range', { state }, 'json', 'range', off.signal);
      if (!answer) return;
      [this.#of, this.#forecast] = [state, answer.forecast];
    } catch (error) {
      if (state !== this.#asked) return;
      if (off.signal.aborted) {
        this.#asked = null;
        return;
      }
      this.#trouble = `There is no range: ${error.message}`;
      // Trouble on the way is no answer: asked again when the hand rests next.
      if (error.status !== 422) this.#asked = null;
    }
    this.changed();
  }

  get #fresh() {
    return this.#of === this.page.store.state;
  }

  /** Behind what fails first in a state: the 90 % range, once it is known; of the end of the pull where that comes later. */
  beside(state, { fails_at_kn, peak_kn }) {
    if (this.#of !== state || !this.#forecast) return '';
    const range = ['p5', 'p95'].map((p) => this.#forecast.range_kn[p].toFixed(1)).join('\u00a0to\u00a0');
    const last = kilonewtons(peak_kn) === kilonewtons(fails_at_kn);
    return last ? ` (${range})` : `; the pull ends at ${kilonewtons(peak_kn)} (${range})`;
  }

  /** The highest load that the axis must reach. */
  get longest() {
    const told = this.#forecast;
    return told ? Math.max(told.range_kn.p95, told.against_marking?.marked_kn ?? 0) : 0;
  }

  /** Band, middle and marking for an axis on which `place` finds a load. */
  marks(place) {
    const told = this.#forecast;
    if (!told) return [];
    const { p5, p50, p95 } = told.range_kn;
    const put = (className, kn) => {
      const made = element('span', { className, data: { kn } });
      made.style.left = place(kn);
      return made;
    };
    const band = put('range-band', p5);
    band.dataset.to = p95;
    band.style.right = `calc(100% - ${place(p95)})`;
    const marked = told.against_marking?.marked_kn;
    const all = [band, put('range-middle', p50), ...(marked ? [put('marking', marked)] : [])];
    for (const one of all) one.classList.toggle('waits', !this.#fresh);
    return all;
  }

  /** What the marks of the axis are. */
  get key() {
    if (!this.#forecast || !this.#fresh) return '';
    const { range_kn: range, against_marking: against } = this.#forecast;
    const marked = against ? ` The triangle is what is marked, ${kilonewtons(against.marked_kn)}.` : '';
    return ` The band on the axis is the 90 % range, ${kilonewtons(range.p5)} to ${kilonewtons(range.p95)}; half of all pulls stay below ${kilonewtons(range.p50)}.${marked}`;
  }

  /** The sentences of the program on it, beyond those that are told already, and what is not known exactly. */
  words(already) {
    const box = element('div', { className: 'range-words', id: 'forecast-range', data: { test: 'forecast-range' } });
    box.classList.toggle('waits', !this.#fresh);
    if (!this.#fresh) {
      box.append(element('p', { textContent: this.#trouble || 'Working out how sure that is\u2026' }));
      return box;
    }
    const { story, varied, left_out: left } = this.#forecast;
    box.append(...story.filter((s) => !already.includes(s)).map((s) => element('p', { textContent: s })));
    // Less was varied than was entered: that stands beside the range, not behind it.
    box.append(...left.map((words) => element('p', { className: 'left-out', textContent: `Left out: ${named(words, this.page.told)}.` })));
    const rows = varied.map((v) => element('li', {}, [element('b', { textContent: part(v.share) }), ` ${named(v.what, this.page.told)}, ${v.from} to ${v.to}`]));
    if (rows.length) box.append(element('details', { className: 'rows' }, [element('summary', { textContent: 'What is not known exactly, and its part of the spread' }), element('ul', {}, rows)]));
    return box;
  }
}
