// From which load on the hottest place yields: words near it, where neither the connector nor anything else of the picture is.

import { movedPoint } from './drawing.js';
import { halfOf } from './straps.js';
import { toPage } from './view.js';
import { hottest } from './words.js';

/** Pixels of the page to a pixel of the plan of what is covered. */
const COARSE = 4;
/** Words that stand stay where they are while the place moves less than this, in letters. */
const STEADY = 2;

const meets = (a, b) => a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
const within = (a, b) => a[0] >= b[0] && a[1] >= b[1] && a[2] <= b[2] && a[3] <= b[3];
/** Where a box is nearest to a point, and how far that is. */
function nearest([x0, y0, x1, y1], [x, y]) {
  const at = [Math.min(x1, Math.max(x0, x)), Math.min(y1, Math.max(y0, y))];
  return { at, away: Math.hypot(at[0] - x, at[1] - y) };
}

/** How far a point is from the line between two others. */
function beside([x, y], a, b) {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const t = Math.min(1, Math.max(0, ((x - a[0]) * dx + (y - a[1]) * dy) / (dx * dx + dy * dy || 1)));
  return Math.hypot(x - a[0] - t * dx, y - a[1] - t * dy);
}

/** The words in one line and, where they name a number, in two: the number in the second. */
function broken(words) {
  const parts = words.match(/^(.*?)\s(\d.*)$/);
  return [[words], ...(parts ? [parts.slice(1)] : [])];
}

/** How much of any box frame and gate cover: sums over a coarse picture of both, with some room about them. */
class Covered {
  constructor({ frame, gate }, [w, h], room) {
    this.w = Math.ceil(w / COARSE) + 1;
    this.h = Math.ceil(h / COARSE) + 1;
    const canvas = Object.assign(document.createElement('canvas'), { width: this.w, height: this.h });
    const context = canvas.getContext('2d', { willReadFrequently: true });
    context.scale(1 / COARSE, 1 / COARSE);
    context.lineWidth = 2 * room;
    context.lineJoin = 'round';
    for (const path of [frame, gate]) {
      context.fill(path, 'evenodd');
      context.stroke(path);
    }
    const { data } = context.getImageData(0, 0, this.w, this.h);
    const across = this.w + 1;
    this.sums = new Uint32Array(across * (this.h + 1));
    for (let y = 0; y < this.h; y++) {
      for (let x = 0; x < this.w; x++) {
        const at = (y + 1) * across + x + 1;
        this.sums[at] = this.sums[at - 1] + this.sums[at - across] - this.sums[at - across - 1] + (data[4 * (y * this.w + x) + 3] > 20 ? 1 : 0);
      }
    }
  }

  of(box) {
    const [x0, y0] = [box[0], box[1]].map((v) => Math.floor(v / COARSE));
    const [x1, y1] = [Math.min(this.w, Math.ceil(box[2] / COARSE)), Math.min(this.h, Math.ceil(box[3] / COARSE))];
    const across = this.w + 1;
    return this.sums[y1 * across + x1] - this.sums[y0 * across + x1] - this.sums[y1 * across + x0] + this.sums[y0 * across + x0];
  }
}

export class FirstYield {
  #covered = null;
  #of = '';
  #stands = null;

  /**
   * Draws it. `where`: paths and pulls of the picture; `room`: [x0, y0, x1, y1] in which it may stand; `taken`: boxes of what else stands
   * on the picture; `still`: words that stand stay where they are. Returns the box of the words, or null where they have no room at all.
   */
  draw(context, scene, view, { where, size, room, taken, look, enlarged, rem, family, still }) {
    const places = hottest(scene.head).map((peak) => toPage(view, movedPoint(scene.bodies, [peak.x_mm, peak.y_mm], enlarged)));
    const [place, ...further] = places;
    const about = 0.75 * rem;
    const others = [...taken, ...straps(where, view, size), ...places.map(([x, y]) => [x - about, y - about, x + about, y + about])];
    const { yields } = scene.head;
    context.font = `700 ${0.9 * rem}px ${family}`;
    const of = `${where.key} ${enlarged ? scene.answer : ''} ${context.font}`;
    if (!this.#covered || of !== this.#of) this.#covered = new Covered(where.paths, size, 0.3 * rem);
    this.#of = of;
    // In one line or, where that is better off, in two.
    const stands = this.#steady(yields, place, { room, others, rem, still }) ?? broken(yields).map((lines) => {
      const half = [0.5 * Math.max(...lines.map((line) => context.measureText(line).width)) + 0.32 * rem, (0.2 + 0.55 * lines.length) * rem];
      return this.#seek(half, lines, place, { room, others, further, rem });
    }).reduce((a, b) => (b.cost + 0.8 * rem < a.cost ? b : a));
    // The picture is smaller than the words.
    if (!stands.box) return null;
    // Words that stay keep the place that they were set for, or slow steps would never add up.
    this.#stands = { place, ...stands, yields };
    write(context, stands, place, look, rem);
    return stands.box;
  }

  // Where the words stand already, as long as that will do.
  #steady(yields, [x, y], { room, others, rem, still }) {
    const old = this.#stands;
    const will = old?.yields.length === yields.length && Math.hypot(old.place[0] - x, old.place[1] - y) < STEADY * rem && old.rem === rem && within(old.box, room)
      && (still || (!this.#covered.of(old.box) && !others.some((other) => meets(old.box, other))));
    return will ? { ...old, lines: broken(yields)[old.lines.length - 1] } : null;
  }

  #seek([w, h], lines, place, { room, others, further, rem }) {
    let best = { cost: Infinity };
    const step = 0.3 * rem;
    for (let y = room[1] + h; y <= room[3] - h; y += step) {
      for (let x = room[0] + w; x <= room[2] - w; x += step) {
        const box = [x - w, y - h, x + w, y + h];
        const { at, away } = nearest(box, place);
        if (away >= best.cost) continue;
        // Where nothing is free, what hides least.
        const hides = 1e3 * this.#covered.of(box) + (others.some((other) => meets(box, other)) ? 1e6 : 0);
        // The line to it does not run through the number of another place.
        const through = 3 * rem * further.filter((other) => beside(other, place, at) < 0.9 * rem).length;
        const cost = away + hides + through + 0.02 * Math.hypot(x - place[0], y - place[1]);
        if (cost < best.cost) best = { cost, box, lines, rem };
      }
    }
    return best;
  }
}

/** Boxes of straps and bars, from the load to the edge of the picture. */
function straps({ pulls }, view, [, h]) {
  return ['upper', 'lower'].map((end) => {
    const { kind, centre, radius } = pulls[end];
    const [x, y] = toPage(view, centre);
    const half = halfOf(pulls[end], view.scale) + 2;
    const beyond = (kind === 'bar' ? radius : 3) * view.scale;
    return end === 'upper' ? [x - half, 0, x + half, y + beyond] : [x - half, y - beyond, x + half, h];
  });
}

function write(context, { box, lines }, place, look, rem) {
  const { at, away } = nearest(box, place);
  if (away > 0.7 * rem) {
    const from = [0, 1].map((k) => place[k] + ((at[k] - place[k]) * 0.62 * rem) / away);
    for (const [colour, wide] of [[look.halo, 5], [look.accent, 2]]) {
      context.beginPath();
      context.moveTo(...from);
      context.lineTo(...at);
      context.strokeStyle = colour;
      context.lineWidth = wide;
      context.stroke();
    }
  }
  context.beginPath();
  context.roundRect(box[0], box[1], box[2] - box[0], box[3] - box[1], 0.4 * rem);
  context.fillStyle = look.paper;
  context.fill();
  context.strokeStyle = look.accent;
  context.lineWidth = 2;
  context.stroke();
  context.fillStyle = look.ink;
  context.textAlign = 'center';
  context.textBaseline = 'middle';
  const middle = 0.5 * (box[1] + box[3]) + 0.5;
  lines.forEach((line, i) => context.fillText(line, 0.5 * (box[0] + box[2]), middle + (i - 0.5 * (lines.length - 1)) * 1.1 * rem));
}
