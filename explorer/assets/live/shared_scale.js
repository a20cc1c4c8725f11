// The scale that compared pictures share, as a ruler across them, with its range in words.

import { css } from './colour.js';
import { element } from './element.js';

const FIELDS = { mises: 'stress', pull: 'pull and push', trajectories: 'stress' };
const plain = (mpa) => String(Math.round(mpa)).replace('-', '\u2212');
const STEPS = 64;

export class SharedScale {
  constructor() {
    this.strip = element('canvas', { width: STEPS + 1, height: 1, 'aria-hidden': 'true' });
    this.ticks = element('span', { className: 'scale-ticks', 'aria-hidden': 'true' });
    this.words = element('span', { className: 'scale-words' });
    this.box = element('div', { className: 'shared-scale', data: { test: 'shared-scale' } }, [this.words, element('span', { className: 'scale-strip' }, [this.strip, this.ticks])]);
  }

  /** Shows a range of colours; `field` is what they show. */
  show({ low, high, scale }, field) {
    const told = `${low}|${high}|${field}`;
    if (told === this.told) return;
    this.told = told;
    this.words.textContent = `All on one scale: ${FIELDS[field] ?? 'stress'} from ${plain(low)} to ${plain(high)} MPa.`;
    const context = this.strip.getContext('2d');
    for (let i = 0; i <= STEPS; i++) {
      context.fillStyle = css(scale, i / STEPS);
      context.fillRect(i, 0, 1, 1);
    }
    this.ticks.replaceChildren(...[0, 0.25, 0.5, 0.75, 1].map((t) => element('i', { textContent: plain(low + t * (high - low)) })));
  }
}
