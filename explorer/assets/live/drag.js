// Straps and bars under the hand: by mouse or touch on the strap or its handle, by arrow keys on the handle.

import { attribute } from './element.js';
import { HANDLE } from './over.js';
import { Pinch } from './pinch.js';
import { halfOf } from './straps.js';
import { offsetWords } from './words.js';

const OTHER = { upper: 'lower', lower: 'upper' };
const key = (end) => `rig.${end}.offset_mm`;
/** What a hand does is heard at once, not with the next frame, where the browser tells it. */
const MOVES = 'onpointerrawupdate' in window ? 'pointerrawupdate' : 'pointermove';
const tenth = (mm) => Math.round(10 * mm) / 10;

/** Where the middle of an end may be, mm. */
export function roomOf(head, end) {
  const { kind, width_mm, room_mm } = head[end];
  const half = kind === 'strap' ? width_mm / 2 : 0;
  const [low, high] = [Math.ceil(10 * (room_mm[0] + half) - 1e-6) / 10, Math.floor(10 * (room_mm[1] - half) + 1e-6) / 10];
  return low <= high ? [low, high] : [0, 0];
}

export class Drag {
  #held = null;
  // Whether the handles tell a share.
  #shared = true;

  /** `told(event)` is called with each event of the hand, before the state changes. */
  constructor(stage, store, told) {
    Object.assign(this, { stage, store, told });
    this.handles = {};
    for (const end of ['upper', 'lower']) {
      const handle = (this.handles[end] = document.getElementById(`handle-${end}`));
      handle.addEventListener('pointerdown', (e) => this.#take(e, end, handle));
      handle.addEventListener(MOVES, (e) => this.#move(e));
      for (const over of ['pointerup', 'pointercancel']) handle.addEventListener(over, (e) => this.#drop(e));
      handle.addEventListener('keydown', (e) => this.#keys(e, end));
    }
    const { canvas } = stage;
    this.pinch = new Pinch(canvas, {
      taken: (e, at) => {
        const end = stage.where && this.under(at);
        if (end) this.#take(e, end, canvas);
        return Boolean(end);
      },
      lost: () => this.#let(),
      holds: (at) => stage.lens.zoom > 1 || Boolean(stage.where && this.under(at)),
      moved: (dx, dy) => stage.pan(dx, dy),
      zoomed: (factor, at) => stage.nearer(factor, at),
    });
    canvas.addEventListener(MOVES, (e) => this.#move(e));
    canvas.addEventListener('pointermove', (e) => this.#over(e));
    for (const over of ['pointerup', 'pointercancel']) canvas.addEventListener(over, (e) => this.#drop(e));
    stage.drawn.push((_, ahead) => this.settle(ahead));
  }

  /** Whether something is in the hand. */
  get busy() {
    return this.#held !== null;
  }

  #take(e, end, target) {
    if (!this.stage.scene || e.button > 0) return;
    e.preventDefault();
    target.setPointerCapture(e.pointerId);
    const rig = this.stage.rig();
    this.#held = { end, x: e.clientX, from: rig[end].offset_mm, pointer: e.pointerId };
    this.handles[end].classList.add('held');
    this.handles[end].focus({ preventScroll: true });
  }

  #move(e) {
    const held = this.#held;
    if (!held || held.pointer !== e.pointerId) return;
    this.put(held.end, held.from + (e.clientX - held.x) / this.stage.view().scale, e);
  }

  /** Puts an end (and the other with it, when they move together) at an offset; both stay where they fit. */
  put(end, mm, event) {
    const { head } = this.stage.scene;
    const ends = this.store.view.linked ? [end, OTHER[end]] : [end];
    const rig = this.stage.rig();
    const changes = {};
    let goal = mm;
    // Together they stop where the first one must.
    if (ends.length === 2 && tenth(rig.upper.offset_mm) === tenth(rig.lower.offset_mm)) {
      for (const name of ends) goal = Math.min(roomOf(head, name)[1], Math.max(roomOf(head, name)[0], goal));
    }
    const step = goal - rig[end].offset_mm;
    for (const name of ends) {
      const [low, high] = roomOf(head, name);
      const at = name === end ? goal : rig[name].offset_mm + step;
      changes[key(name)] = tenth(Math.min(high, Math.max(low, at)));
    }
    if (Object.entries(changes).every(([k, v]) => this.store.state.set[k] === v)) return;
    this.told(event);
    this.store.change(changes, { hand: this.busy });
  }

  #drop(e) {
    if (this.#held?.pointer === e.pointerId) this.#let();
  }

  #let() {
    if (!this.#held) return;
    this.handles[this.#held.end].classList.remove('held');
    this.#held = null;
    this.store.rest();
    this.released?.();
  }

  #over(e) {
    if (e.buttons || e.pointerType !== 'mouse' || !this.stage.where) return;
    this.stage.canvas.classList.toggle('grip', this.under(this.pinch.place(e)) !== null);
  }

  /** The end whose strap or bar lies under a point of the page. */
  under([x, y]) {
    if (this.stage.insetAt([x, y])) return null;
    const { where } = this.stage;
    const { scale } = this.stage.view();
    for (const end of ['upper', 'lower']) {
      const pull = where.pulls[end];
      const half = Math.max(14, halfOf(pull, scale));
      const along = this.stage.along(end, y);
      const seat = this.stage.view().y - scale * pull.centre[1];
      const beyond = end === 'upper' ? y < seat + 12 : y > seat - 12;
      if (beyond && Math.abs(x - along) <= half) return end;
    }
    return null;
  }

  #keys(e, end) {
    if (!this.stage.scene || e.ctrlKey || e.metaKey || e.altKey) return;
    const now = this.stage.rig()[end].offset_mm;
    const [low, high] = roomOf(this.stage.scene.head, end);
    const step = e.shiftKey ? 5 : 0.5;
    const goal = {
      ArrowRight: now + step, ArrowUp: now + step, ArrowLeft: now - step, ArrowDown: now - step,
      PageUp: now + 5, PageDown: now - 5, Home: low, End: high,
    }[e.key];
    if (goal === undefined) return;
    e.preventDefault();
    this.put(end, goal, e);
  }

  /**
   * Places the handles on their straps and tells where they stand. A change of words is read out: those of a moving hand tell no share, and
   * follow with the answers (`ahead`: there is none).
   */
  settle(ahead = false) {
    const { stage } = this;
    if (!stage.where) return;
    const { head } = stage.scene;
    const rig = stage.rig();
    const { w, h } = stage.area();
    const inset = HANDLE * stage.rem;
    for (const end of ['upper', 'lower']) {
      const handle = this.handles[end];
      const y = end === 'upper' ? inset : h - inset;
      const x = Math.min(w - 2 * stage.rem, Math.max(2 * stage.rem, stage.along(end, y)));
      handle.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px)`;
      attribute(handle, 'aria-valuenow', tenth(rig[end].offset_mm));
      if (ahead && !this.#shared) continue;
      const [low, high] = roomOf(head, end);
      const thing = rig[end].kind === 'bar' ? `${rig[end].diameter_mm} mm bar` : `${rig[end].width_mm} mm strap`;
      const { share } = head.findings;
      const gate = stage.moving ? '' : !stage.fresh ? 'what the gate carries is being worked out' : head.gate_carries ? `the gate carries ${Math.round(100 * share.gate_fraction)} percent` : 'the gate carries nothing';
      const told = {
        'aria-label': `${end === 'upper' ? 'Upper' : 'Lower'} end, ${thing}: offset toward the gate`,
        'aria-valuemin': low, 'aria-valuemax': high, 'aria-valuetext': [offsetWords(rig[end].offset_mm), gate].filter(Boolean).join('; '),
      };
      for (const [name, value] of Object.entries(told)) attribute(handle, name, value);
    }
    this.#shared = !stage.moving;
  }
}
