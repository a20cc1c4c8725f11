// Fingers on a picture: one moves it, two zoom about the point between them. A mouse is a finger, too.

/** Pixels of a line, where a wheel counts in lines. */
const LINE = 16;
/** A notch of a wheel counts as so many pixels of a touchpad, and a pixel zooms by so much. */
const NOTCH = 25;
const WHEEL = 0.01;

/**
 * Follows the pointers on an element. `taken(event, at)` may claim a single pointer for something else by returning true;
 * `moved(dx, dy)` and `zoomed(factor, at)` are told what the fingers do. `at` is on the page of the element.
 */
export class Pinch {
  #pointers = new Map();
  #last = null;
  #claimed = false;

  constructor(home, { taken = () => false, lost = () => {}, moved, zoomed, holds = () => true }) {
    Object.assign(this, { home, taken, lost, moved, zoomed });
    home.addEventListener('pointerdown', (e) => this.#down(e));
    home.addEventListener('pointermove', (e) => this.#move(e));
    for (const over of ['pointerup', 'pointercancel']) home.addEventListener(over, (e) => this.#up(e));
    // The wheel alone scrolls the page as everywhere. Two fingers on a touchpad arrive as a wheel with Ctrl.
    home.addEventListener('wheel', (e) => {
      if (!e.ctrlKey && !e.metaKey) return;
      e.preventDefault();
      const turned = e.deltaY * (e.deltaMode ? LINE : 1);
      zoomed(Math.exp(-WHEEL * Math.max(-NOTCH, Math.min(NOTCH, turned))), this.place(e));
    }, { passive: false });
    // One finger scrolls the page as everywhere, unless it took something or the picture is zoomed.
    home.addEventListener('touchstart', (e) => {
      if (e.touches.length > 1 || holds(this.place(e.touches[0]))) e.preventDefault();
    }, { passive: false });
  }

  /** A point of an event in pixels of the element. */
  place(e) {
    const box = this.home.getBoundingClientRect();
    return [e.clientX - box.left, e.clientY - box.top];
  }

  #between() {
    const all = [...this.#pointers.values()];
    const middle = [0, 1].map((k) => all.reduce((sum, p) => sum + p[k], 0) / all.length);
    return { count: all.length, middle, apart: all.length > 1 ? Math.hypot(all[0][0] - all[1][0], all[0][1] - all[1][1]) : 0 };
  }

  #down(e) {
    if (e.button > 0) return;
    const at = this.place(e);
    this.home.setPointerCapture(e.pointerId);
    this.#pointers.set(e.pointerId, at);
    this.#last = this.#between();
    if (this.#pointers.size === 1) this.#claimed = this.taken(e, at);
    else if (this.#claimed) {
      this.#claimed = false;
      this.lost();
    }
  }

  #move(e) {
    if (!this.#pointers.has(e.pointerId)) return;
    this.#pointers.set(e.pointerId, this.place(e));
    const [was, is] = [this.#last, this.#between()];
    this.#last = is;
    if (this.#claimed || is.count !== was.count) return;
    if (is.count > 1 && was.apart > 0) this.zoomed(is.apart / was.apart, is.middle);
    this.moved(is.middle[0] - was.middle[0], is.middle[1] - was.middle[1]);
  }

  #up(e) {
    if (!this.#pointers.delete(e.pointerId)) return;
    this.#claimed = false;
    this.#last = this.#pointers.size ? this.#between() : null;
  }
}
