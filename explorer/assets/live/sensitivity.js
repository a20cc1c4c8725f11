// What the gate's share hangs on: one thing varied at a time, by the program, when it is asked for.

import { Belongs } from './belongs.js';
import { element } from './element.js';
import { followed } from './following.js';
import { mistakeWords } from './words.js';

const percent = (part) => `${(100 * part).toFixed(1)} %`;
/** From one share to another, of the shares themselves and not as both are written: the sentence tells the same. */
const points = (to, from) => {
  const by = 100 * (to - from);
  return Math.abs(by) < 0.05 ? 'no change' : `${by > 0 ? '+' : '\u2212'}${Math.abs(by).toFixed(1)} points`;
};

/** Keys of the model file in words, as the controls call them. */
const labelled = (words, { parameters }) => words.replace(/\b[a-z]+(\.[a-z_]+)+\b/g, (key) => parameters.find((p) => p.key === key)?.label ?? key);

export class Sensitivity {
  constructor(home, page) {
    Object.assign(this, { home, page });
    this.button = element('button', { type: 'button', className: 'strong', textContent: 'What does the gate\u2019s share hang on?', data: { test: 'ask-sensitivity' } });
    this.answer = element('div', { className: 'sensitivity', id: 'sensitivity', 'aria-live': 'polite', data: { test: 'sensitivity' } });
    this.button.addEventListener('click', () => this.#go());
    home.append(this.button, this.answer);
    this.belongs = new Belongs([this.answer], page, {});
  }

  async #go() {
    const { state } = this.page.store;
    this.button.disabled = true;
    this.answer.replaceChildren();
    this.belongs.of(state);
    try {
      const told = await followed('sensitivity', { state }, this.answer);
      if (told) this.#show(told);
      else this.answer.replaceChildren(element('p', { textContent: 'Cancelled.' }));
    } catch (error) {
      this.answer.replaceChildren(element('p', { textContent: [error.message, ...error.mistakes.map((m) => mistakeWords(m, this.page.told))].join(' ') }));
    }
    this.button.disabled = false;
  }

  #show({ sensitivity: { base, variations }, sentence, caution }) {
    const head = element('tr', {}, ['varied', 'to', 'gate carries', 'change'].map((t) => element('th', { scope: 'col', textContent: t })));
    const row = (what, value, watched) => element('tr', {}, [
      element('th', { scope: 'row', textContent: labelled(what, this.page.told) }),
      ...[value, percent(watched.gate_fraction), what === AS_IT_IS ? '' : points(watched.gate_fraction, base.gate_fraction)].map((t) => element('td', { textContent: t })),
    ]);
    const rows = variations.flatMap(({ what, tried }) => tried.map(([value, watched]) => row(what, value, watched)));
    this.answer.replaceChildren(
      element('p', { className: 'answer', textContent: labelled(sentence, this.page.told) }),
      element('div', { className: 'wide' }, [element('table', {}, [element('thead', {}, [head]), element('tbody', {}, [row(AS_IT_IS, '', base), ...rows])])]),
      element('p', { className: 'caution-line', textContent: caution }),
    );
  }
}

const AS_IT_IS = 'as it is';
