// The see-saw: what the spine carries to the left of a pivot, the gate to the right, in one unit of length.

import { attribute, say } from './element.js';

const NS = 'http://www.w3.org/2000/svg';
const TILT = 5;

/** An SVG element with attributes. */
export function svg(name, attributes = {}, children = []) {
  const element = document.createElementNS(NS, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.append(...children);
  return element;
}

/** Kilonewtons with one decimal, no minus before zero. */
export const kilonewtons = (x) => `${(Math.round(10 * x) || 0) / 10 === 0 ? '0.0' : x.toFixed(1).replace('-', '\u2212')} kN`;
const percent = (x) => `${Math.round(100 * x) || 0} %`.replace('-', '\u2212');

/** The see-saw inside an element; `show` moves it. */
export class Balance {
  constructor(home) {
    this.spine = Object.assign(document.createElement('b'), { id: 'spine-kn' });
    this.gate = Object.assign(document.createElement('b'), { id: 'gate-kn' });
    this.spineShare = document.createElement('span');
    this.gateShare = Object.assign(document.createElement('span'), { id: 'gate-share' });
    const numbers = document.createElement('div');
    numbers.className = 'numbers';
    for (const pair of [[this.spine, this.spineShare], [this.gate, this.gateShare]]) {
      const box = document.createElement('div');
      box.append(...pair);
      numbers.append(box);
    }
    this.left = svg('rect', { y: -11, height: 22, rx: 3, fill: 'var(--ink)' });
    this.right = svg('rect', { y: -11, height: 22, rx: 3, fill: 'var(--accent)' });
    this.beam = svg('g', { class: 'seesaw' }, [svg('rect', { x: -150, y: -13, width: 300, height: 26, rx: 5, fill: 'var(--shade)' }), this.left, this.right]);
    const pivot = svg('path', { d: 'M0 6 14 30H-14Z', fill: 'var(--ink)' });
    const axle = svg('circle', { r: 6, fill: 'var(--paper)', stroke: 'var(--ink)', 'stroke-width': 2.5 });
    this.condition = Object.assign(document.createElement('p'), { id: 'balance-if', className: 'condition', hidden: true });
    home.replaceChildren(this.condition, numbers, svg('svg', { viewBox: '-152 -30 304 62', 'aria-hidden': 'true' }, [pivot, this.beam, axle]));
  }

  /** `condition`: what has to hold for these forces; empty where they are as they are. */
  show({ spine_kn, gate_kn }, loadKn, open, condition = '') {
    say(this.condition, condition);
    this.condition.hidden = !condition;
    const longest = Math.max(Math.abs(spine_kn), Math.abs(gate_kn), 1e-9);
    for (const [bar, kn, side] of [[this.left, spine_kn, -1], [this.right, gate_kn, 1]]) {
      const length = (150 * Math.abs(kn)) / longest;
      attribute(bar, 'width', length.toFixed(1));
      attribute(bar, 'x', (side < 0 ? -length : 0).toFixed(1));
      // Pushed, not pulled: hollow.
      attribute(bar, 'fill-opacity', kn < 0 ? 0.35 : 1);
    }
    const lean = Math.max(-1, Math.min(1, (spine_kn - gate_kn) / Math.max(Math.abs(loadKn), longest)));
    attribute(this.beam, 'transform', `rotate(${(-TILT * lean).toFixed(2)})`);
    say(this.spine, kilonewtons(spine_kn));
    say(this.gate, kilonewtons(gate_kn));
    say(this.spineShare, `spine ${percent(spine_kn / (loadKn || 1))}`);
    say(this.gateShare, open ? 'gate open' : `gate ${percent(gate_kn / (loadKn || 1))}`);
  }
}
