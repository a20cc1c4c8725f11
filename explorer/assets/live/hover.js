// What is under the pointer, or under the probe that the arrow keys move: stress and place in words.

import { Locator, valueAt } from './mesh.js';
import { toPage, toPlane } from './view.js';

/** Reads a scene at a point in mm: `{ mpa, place, body }`, or null beside the connector. */
export class Reader {
  #kept = {};

  /** `only`: the one body that is looked at. */
  read(scene, drawn, point, field, only) {
    if (this.#kept.frameAt !== drawn.frame) {
      this.#kept = { frameAt: drawn.frame, gate: new Locator(scene.bodies.gate, drawn.gate), frame: new Locator(scene.bodies.frame, drawn.frame) };
    }
    for (const name of only ? [only] : scene.head.gate_carries ? ['gate', 'frame'] : ['frame']) {
      const body = scene.bodies[name];
      const found = this.#kept[name].at(...point);
      if (!found) continue;
      let k = 0;
      for (let i = 1; i < 3; i++) if (found.n[i] > found.n[k]) k = i;
      const node = body.triangles[found.t + k];
      const values = field === 'pull' && body.pull ? body.pull : body.mises;
      return { mpa: valueAt(body, found, values), place: scene.places[body.place[node]] ?? name, body: name };
    }
    return null;
  }
}

/** Words of a reading: number, and what it means. */
export function readingWords({ mpa, place, body }, head, field) {
  const part = Math.round((100 * Math.abs(mpa)) / head.yield_mpa[body]);
  const size = `${Math.round(mpa)} MPa`.replace('-', '\u2212');
  if (field === 'pull') return [size, `${mpa < 0 ? 'pushed' : 'pulled'} along the load line; ${place}`];
  return [size, `${part} % of yield; ${place}`];
}

/** Shows the reading beside the pointer. */
export class Hover {
  #reader = new Reader();
  #at = null;

  constructor(stage, store, box, probe) {
    Object.assign(this, { stage, store, box, probe });
    const { canvas } = stage;
    const under = (e) => {
      if (e.pointerType === 'touch' && e.buttons === 0) return;
      const r = stage.home.getBoundingClientRect();
      this.#at = { page: [e.clientX - r.left, e.clientY - r.top] };
      this.show();
    };
    // A finger that taps reads, too; its reading stays until it taps elsewhere.
    for (const event of ['pointermove', 'pointerdown']) canvas.addEventListener(event, under);
    canvas.addEventListener('pointerleave', (e) => e.pointerType === 'mouse' && this.hide());
    canvas.addEventListener('blur', () => this.hide());
    canvas.addEventListener('keydown', (e) => this.#keys(e));
    stage.drawn.push(() => this.#at && this.show());
  }

  hide() {
    this.#at = null;
    this.box.hidden = true;
    this.probe.hidden = true;
  }

  show() {
    const { stage } = this;
    if (!stage.where || !this.#at) return;
    // The window of the enlarged nose has a view of its own.
    const inset = this.#at.page ? stage.insetAt(this.#at.page) : null;
    const view = inset?.view ?? stage.view();
    const point = this.#at.plane ?? toPlane(view, this.#at.page);
    const page = toPage(view, point);
    const { field } = this.store.view;
    const reading = this.#reader.read(stage.scene, stage.where.drawn, point, field, inset?.on);
    this.probe.hidden = !this.#at.plane;
    this.probe.style.transform = `translate(${page[0]}px, ${page[1]}px)`;
    this.box.hidden = !reading && !this.#at.plane;
    if (this.box.hidden) return;
    const [number, words] = reading ? readingWords(reading, stage.scene.head, field) : ['', 'beside the connector'];
    const strong = document.createElement('b');
    strong.textContent = number;
    this.box.replaceChildren(strong, words);
    const [w, h] = [this.box.offsetWidth, this.box.offsetHeight];
    const x = Math.max(4, page[0] + 18 + w > stage.home.clientWidth ? page[0] - w - 18 : page[0] + 18);
    const y = Math.min(stage.home.clientHeight - h - 4, Math.max(4, page[1] - h - 12));
    this.box.style.transform = `translate(${x.toFixed(0)}px, ${y.toFixed(0)}px)`;
  }

  // The probe on the page; the keys zoom about it.
  #page() {
    return this.#at?.plane && toPage(this.stage.view(), this.#at.plane);
  }

  #keys(e) {
    const { stage } = this;
    if (!stage.where || e.ctrlKey || e.metaKey || e.altKey) return;
    const moves = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    if (e.key in moves) {
      const view = stage.view();
      const [dx, dy] = moves[e.key];
      if (e.shiftKey) stage.pan(-40 * dx, 40 * dy);
      else {
        const { frame } = stage.scene.bodies;
        const from = this.#at ? (this.#at.plane ?? toPlane(view, this.#at.page)) : [frame.points[0], frame.points[1]];
        const step = 8 / view.scale;
        this.#at = { plane: [from[0] + step * dx, from[1] + step * dy] };
        this.show();
      }
    } else if (e.key === '+' || e.key === '=') stage.nearer(1.3, this.#page());
    else if (e.key === '-') stage.nearer(1 / 1.3, this.#page());
    else if (e.key === '0') stage.fit();
    else if (e.key === 'Escape') this.hide();
    else return;
    e.preventDefault();
  }
}
