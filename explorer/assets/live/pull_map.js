// The map of a step of a pull, over the ordinary one: deformed as it is, in colours that are those of all steps.

import { Drawing } from './drawing.js';
import { element } from './element.js';
import { readingWords } from './hover.js';
import { pastMarks, ruler } from './legend.js';
import { Lens } from './lens.js';
import { rigOf } from './looks.js';
import { Locator, valueAt } from './mesh.js';
import { Pinch } from './pinch.js';
import { halfOf } from './straps.js';
import { fitting, toPage, toPlane } from './view.js';

/** What stands over the ruler. */
const NAMES = { stress: ['von Mises', 'stress, MPa'], strain: ['plastic', 'strain, %'] };
/** Loads stand so far from their edge of the picture, letters. */
const EDGE = 1.9;

export class PullMap {
  #frame = 0;
  #locator = null;

  /** `stage`: the ordinary picture, whose box, letters and look it takes. */
  constructor(stage) {
    Object.assign(this, { stage, drawing: new Drawing(), lens: new Lens(), pull: null, field: 'stress' });
    this.canvas = element('canvas', { className: 'pull-picture', role: 'img', hidden: true, data: { test: 'pull-picture' } });
    this.reading = element('div', { className: 'reading', hidden: true });
    stage.home.append(this.canvas, this.reading);
    new Pinch(this.canvas, { holds: () => this.lens.zoom > 1, moved: (dx, dy) => this.#pan(dx, dy), zoomed: (factor, at) => this.nearer(factor, at) });
    for (const event of ['pointermove', 'pointerdown']) this.canvas.addEventListener(event, (e) => this.#read([e.offsetX, e.offsetY]));
    this.canvas.addEventListener('pointerleave', (e) => e.pointerType === 'mouse' && this.#read(null));
    // It is drawn anew whenever the ordinary one is: of another size, in another look.
    stage.drawn.push((_, ahead) => this.pull && !ahead && this.ask());
  }

  /** Shows a pull; null brings the ordinary map back. */
  show(pull) {
    this.pull = pull;
    this.step = 0;
    this.canvas.hidden = !pull;
    this.drawing.forget();
    this.lens.fit();
    this.#read(null);
  }

  /** Shows a step of it. `words`: the same for who does not see it. */
  at(step, words) {
    this.step = step;
    this.canvas.setAttribute('aria-label', words);
    this.ask();
  }

  /** Colours another field. */
  colour(field) {
    this.field = field;
    this.ask();
  }

  ask() {
    this.#frame ||= requestAnimationFrame(() => this.#draw());
  }

  nearer(factor, at) {
    this.lens.nearer(factor, this.#whole(), this.#area().stage, at);
    this.ask();
  }

  fit() {
    this.lens.fit();
    this.ask();
  }

  #pan(dx, dy) {
    this.lens.pan(dx, dy, this.#whole(), this.pull.box);
    this.ask();
  }

  #area() {
    const { size: [w, h], rem } = this.stage;
    const ruled = w > 22 * rem ? 5.2 * rem : 4 * rem;
    const side = Math.max(0.6 * rem, Math.min(0.06 * w, 5 * rem));
    const ends = Math.max(3.4 * rem, 0.1 * h);
    return { stage: { x: side, y: ends, w: w - ruled - 2 * side - 0.4 * rem, h: h - 2 * ends }, ruler: { x: w - ruled - 0.9 * rem, y: 3.1 * rem, w: ruled, h: h - 4.4 * rem } };
  }

  #whole() {
    return fitting(this.pull.box, this.#area().stage);
  }

  #draw() {
    this.#frame = 0;
    const { pull, stage, canvas, field } = this;
    const { size, rem, family, look } = stage;
    if (!pull || !size[0]) return;
    const ratio = Math.min(3, window.devicePixelRatio || 1);
    const [w, h] = size.map((side) => Math.round(side * ratio));
    if (canvas.width !== w || canvas.height !== h) Object.assign(canvas, { width: w, height: h });
    const scene = pull.scenes[this.step];
    const span = pull.spans[field];
    const area = this.#area();
    this.view = this.lens.view(this.#whole(), area.stage);
    const letters = (size[0] > 22 * rem ? 0.9 : 0.78) * rem;
    // Strain has no yield to be marked.
    const yieldMpa = field === 'stress' ? pull.head.yield_mpa.frame : -Infinity;
    this.where = this.drawing.draw(canvas.getContext('2d'), scene, {
      view: this.view, size, ratio, look, span, enlarged: 1, gone: scene.gone, rig: rigOf(pull.head), values: { frame: scene.bodies.frame[field], gate: null },
      over: (context, where) => {
        this.#loads(context, where, area.ruler.x);
        ruler(context, span, yieldMpa, area.ruler, letters, family);
        pastMarks(context, span, yieldMpa, area.ruler, letters, family, look.ink);
        context.font = `600 ${0.85 * rem}px ${family}`;
        context.fillStyle = look.ink;
        context.textAlign = 'right';
        context.textBaseline = 'alphabetic';
        NAMES[field].forEach((line, i) => context.fillText(line, area.ruler.x + area.ruler.w, area.ruler.y - (1.65 - 1.1 * i) * rem));
      },
    });
    this.#locator = null;
    canvas.dataset.step = this.step;
    if (this.under) this.#read(this.under);
  }

  // The load of the step beside each strap, on the side where there is room.
  #loads(context, { pulls }, edge) {
    const { rem, family, look, size } = this.stage;
    const words = this.pull.steps[this.step].load;
    context.font = `700 ${1.15 * rem}px ${family}`;
    context.fillStyle = look.ink;
    context.strokeStyle = look.halo;
    context.lineWidth = 4;
    context.textBaseline = 'middle';
    for (const end of ['upper', 'lower']) {
      const y = end === 'upper' ? EDGE * rem : size[1] - EDGE * rem;
      const { centre, pull } = pulls[end];
      const at = toPage(this.view, centre);
      const x = at[0] + (pull[1] ? (pull[0] / pull[1]) * (y - at[1]) : 0);
      const beside = halfOf(pulls[end], this.view.scale) + 0.6 * rem;
      const right = x + beside + 4.6 * rem < edge - 0.6 * rem;
      context.textAlign = right ? 'left' : 'right';
      const from = right ? x + beside : x - beside;
      context.strokeText(words, from, y);
      context.fillText(words, from, y);
    }
  }

  // What lies under the pointer, in words beside it.
  #read(at) {
    this.under = at;
    const { pull, where, reading, field } = this;
    const frame = pull && where ? pull.scenes[this.step].bodies.frame : null;
    if (frame && at) this.#locator ??= new Locator(frame, where.drawn.frame);
    const found = frame && at ? this.#locator.at(...toPlane(this.view, at)) : null;
    reading.hidden = !found;
    if (!found) return;
    const value = valueAt(frame, found, frame[field]);
    const corner = [0, 1, 2].reduce((best, k) => (found.n[k] > found.n[best] ? k : best), 0);
    const place = pull.scenes[this.step].places[frame.place[frame.triangles[found.t + corner]]];
    const [number, words] = field === 'stress' ? readingWords({ mpa: value, place, body: 'frame' }, pull.head, 'mises') : [`${Math.max(0, value).toFixed(1)} %`, `plastic strain; ${place}`];
    reading.replaceChildren(element('b', { textContent: number }), words);
    const [w, h] = [reading.offsetWidth, reading.offsetHeight];
    const x = Math.max(4, at[0] + 18 + w > this.stage.size[0] ? at[0] - w - 18 : at[0] + 18);
    const y = Math.min(this.stage.size[1] - h - 4, Math.max(4, at[1] - h - 12));
    reading.style.transform = `translate(${x.toFixed(0)}px, ${y.toFixed(0)}px)`;
  }
}
