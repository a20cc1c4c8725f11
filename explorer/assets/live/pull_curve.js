// The curve of a pull, load over stretch, small: a point shows where the step is that the map shows.

import { roundUp } from './colour.js';
import { element } from './element.js';

const SVG = 'http://www.w3.org/2000/svg';
const [WIDE, HIGH] = [340, 226];
const ROOM = { left: 30, right: 12, top: 25, bottom: 42 };

function shape(name, given, words = '') {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(given)) made.setAttribute(key, value);
  if (words) made.textContent = words;
  return made;
}

/** Values of an axis: about so many, from zero. */
function ticks(most, count) {
  const step = roundUp(most / count);
  return Array.from({ length: Math.floor(most / step + 1e-9) + 1 }, (_, i) => Number((i * step).toPrecision(6)));
}

export class PullCurve {
  /** `picked(step)` hears of the step that is nearest to where the curve was pressed. */
  constructor(home, picked) {
    Object.assign(this, { home, picked });
  }

  /** Draws the curve of a pull. */
  show({ head, steps, curve, hook }) {
    const most = [0, 1].map((k) => Math.max(...[curve, hook ?? []].flatMap((one) => Array.from(one).filter((_, i) => i % 3 === k)), 1e-9));
    const [x, y] = [
      (mm) => ROOM.left + ((WIDE - ROOM.left - ROOM.right) * mm) / most[0],
      (kn) => HIGH - ROOM.bottom - ((HIGH - ROOM.top - ROOM.bottom) * kn) / (1.06 * most[1]),
    ];
    const along = (values) => Array.from({ length: values.length / 3 }, (_, i) => `${i ? 'L' : 'M'}${x(values[3 * i]).toFixed(1)} ${y(values[3 * i + 1]).toFixed(1)}`).join('');
    const svg = shape('svg', { viewBox: `0 0 ${WIDE} ${HIGH}`, role: 'img', 'aria-label': `Load over stretch. ${head.pull.sentence}`, class: 'pull-curve', 'data-test': 'pull-curve' });
    for (const kn of ticks(most[1], 4)) {
      svg.append(shape('path', { class: 'line', d: `M${ROOM.left} ${y(kn)}H${WIDE - ROOM.right}` }), shape('text', { x: ROOM.left - 5, y: y(kn) + 5, 'text-anchor': 'end' }, String(kn)));
    }
    for (const mm of ticks(most[0], 5)) {
      svg.append(shape('path', { class: 'tick', d: `M${x(mm)} ${y(0)}v4` }), shape('text', { x: x(mm), y: y(0) + 18, 'text-anchor': 'middle' }, String(mm)));
    }
    svg.append(
      shape('path', { class: 'axis-line', d: `M${ROOM.left} ${ROOM.top - 4}V${y(0)}H${WIDE - ROOM.right}` }),
      shape('text', { x: 2, y: 13, class: 'name' }, head.told.curve),
      shape('text', { x: WIDE - ROOM.right, y: HIGH - 4, class: 'name', 'text-anchor': 'end' }, head.told.stretch),
      shape('path', { class: 'with-gate', d: along(curve) }),
    );
    if (hook?.length) {
      const at = curve.length - 3;
      svg.append(
        shape('path', { class: 'falls', d: `M${x(curve[at])} ${y(curve[at + 1])}L${x(hook[0])} ${y(hook[1])}` }),
        shape('path', { class: 'open', d: along(hook) }),
      );
    }
    for (const { at } of head.marks) svg.append(shape('circle', { class: 'mark', cx: x(at[0]), cy: y(at[1]), r: 2.6 }));
    this.point = shape('circle', { class: 'point', r: 6, 'data-test': 'pull-point' });
    svg.append(this.point);
    this.places = steps.map((step) => [x(step.stretch_mm), y(step.load_kn)]);
    svg.addEventListener('click', (e) => {
      const box = svg.getBoundingClientRect();
      const [px, py] = [((e.clientX - box.left) / box.width) * WIDE, ((e.clientY - box.top) / box.height) * HIGH];
      const away = this.places.map(([a, b]) => Math.hypot(a - px, b - py));
      this.picked(away.indexOf(Math.min(...away)));
    });
    this.home.replaceChildren(svg, ...(hook?.length ? [element('p', { className: 'pull-hook-note', textContent: head.told.hook })] : []));
  }

  /** Moves the point to a step. */
  at(step) {
    const [x, y] = this.places[step];
    this.point.setAttribute('cx', x.toFixed(1));
    this.point.setAttribute('cy', y.toFixed(1));
  }
}
