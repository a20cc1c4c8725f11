// The scale that compared pictures share, as a ruler across them, with its range in words.

import { css } from './colour.js';
import { element } from './element.js';
import { pastWords } from './legend.js';

const FIELDS = { mises: 'stress', pull: 'pull and push', trajectories: 'stress' };
const plain = (mpa) => String(Math.round(mpa)).replace('-', '\u2212');
const STEPS = 64;
const SVG = 'http://www.w3.org/2000/svg';

export class SharedScale {
  constructor() {
    this.strip = element('canvas', { width: STEPS + 1, height: 1, 'aria-hidden': 'true' });
    this.ticks = element('span', { className: 'scale-ticks', 'aria-hidden': 'true' });
    this.words = element('span', { className: 'scale-words' });
    this.past = ['low', 'high'].map((end) => {
      const point = document.createElementNS(SVG, 'svg');
      point.setAttribute('viewBox', '0 0 6 8');
      point.append(document.createElementNS(SVG, 'path'));
      point.firstChild.setAttribute('d', 'M0.5 0.8v6.4L5.5 4Z');
      return element('span', { className: `scale-past ${end}`, 'aria-hidden': 'true', data: { test: `past-${end}` } }, [point, element('b')]);
    });
    this.box = element('div', { className: 'shared-scale', data: { test: 'shared-scale' } }, [this.words, element('span', { className: 'scale-strip' }, [this.strip, this.ticks, ...this.past])]);
  }

  /** Shows a range of colours and how far stresses go past its ends, null where they do not; `field` is what they show. */
  show({ low, high, scale, past }, field) {
    const told = `${low}|${high}|${field}|${past}`;
    if (told === this.told) return;
    this.told = told;
    const beyond = past.filter((mpa) => mpa !== null);
    this.words.textContent = `All on one scale: ${FIELDS[field] ?? 'stress'} from ${plain(low)} to ${plain(high)} MPa${beyond.length ? `; stresses go ${beyond.map((mpa) => pastWords(mpa)).join(' and ')} MPa` : ''}.`;
    past.forEach((mpa, end) => {
      const { firstChild: point, lastChild: words } = this.past[end];
      this.past[end].hidden = mpa === null;
      words.textContent = mpa === null ? '' : pastWords(mpa);
      point.setAttribute('fill', css(scale, end));
    });
    this.box.classList.toggle('past', past[1] !== null);
    this.box.classList.toggle('low', past[0] !== null);
    const context = this.strip.getContext('2d');
    for (let i = 0; i <= STEPS; i++) {
      context.fillStyle = css(scale, i / STEPS);
      context.fillRect(i, 0, 1, 1);
    }
    this.ticks.replaceChildren(...[0, 0.25, 0.5, 0.75, 1].map((t) => element('i', { textContent: plain(low + t * (high - low)) })));
  }
}
