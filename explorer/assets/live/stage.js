// The live picture: one canvas, what it shows, and how near one looks at it.

import { Drawing, LOOKS, drawnPoints } from './drawing.js';
import { divided } from './inset.js';
import { Lens } from './lens.js';
import { drawingOptions, rigOf, spanOf } from './looks.js';
import { Over } from './over.js';
import { seats } from './seats.js';
import { sameState } from './state.js';
import { bounds, fitting, toPage } from './view.js';

/** An answer that takes longer than this is late: the hand is shown where it is without it. */
const LATE_MS = 70;
/** A picture that takes longer than this is drawn with half the pixels while the hand moves. */
const LONG_MS = 20;
/** One that takes less leaves time to draw a strap between two answers. */
const QUICK_MS = 12;

const DARK = matchMedia('(prefers-color-scheme: dark)');
const FORCED = matchMedia('(forced-colors: active)');

/** The rectangle around two. */
function around([ax, ay, aw, ah], [bx, by, bw, bh]) {
  const [x, y] = [Math.min(ax, bx), Math.min(ay, by)];
  return [x, y, Math.max(ax + aw, bx + bw) - x, Math.max(ay + ah, by + bh) - y];
}

export class Stage {
  #frame = 0;
  #took = 0;
  #coarse = false;
  #timed = '';
  #rem = 16;

  /** `paper` {size, rem, ratio, look} makes a picture that stands still, for what is printed. */
  constructor(home, canvas, store, paper = null) {
    Object.assign(this, { home, canvas, store, paper, scene: null, lens: new Lens(), mark: null, most: 0, behind: false });
    this.context = canvas.getContext('2d', { alpha: true });
    this.drawing = new Drawing();
    this.over = new Over(this);
    /** Whether the nose is shown enlarged over the picture, where there is no room beside it. */
    this.near = false;
    /** Hear of each picture: `told(stage, ahead)`. */
    this.drawn = [];
    this.where = null;
    if (paper) {
      this.size = paper.size;
      this.#rem = paper.rem;
      this.family = getComputedStyle(document.documentElement).fontFamily;
      return;
    }
    // Sizes are kept: asking the layout for them between two writes would lay the page out twice per picture.
    const measure = () => {
      this.size = [home.clientWidth, home.clientHeight];
      const style = getComputedStyle(document.documentElement);
      this.#rem = parseFloat(style.fontSize);
      this.family = style.fontFamily;
      this.ask();
    };
    measure();
    new ResizeObserver(measure).observe(home);
    // Words on the canvas are set anew when their font has come.
    document.fonts.addEventListener('loadingdone', () => {
      this.over.ruled = null;
      this.ask();
    });
    for (const media of [DARK, FORCED]) media.addEventListener('change', () => this.ask());
  }

  get look() {
    if (this.paper) return this.paper.look;
    // Where the reader's own colours are forced, the page's choice of theme counts for nothing.
    const chosen = FORCED.matches ? undefined : document.documentElement.dataset.theme;
    return LOOKS[chosen ?? (DARK.matches ? 'dark' : 'light')];
  }

  /** Takes an answer on. */
  show(scene) {
    if (this.scene?.mesh !== scene.mesh) {
      this.drawing.forget();
      this.seats = seats(scene.bodies.frame);
      this.box = null;
    }
    scene.seats = this.seats;
    this.scene = scene;
    this.ask();
  }

  /** Draws with the next frame. */
  ask() {
    if (!this.#frame) this.#frame = requestAnimationFrame(() => this.#draw());
  }

  /**
   * The strap is where the hand has it, in every frame; its stresses follow with the answer. Only what a strap covers is drawn for that, and
   * where even this is too slow, all of it is drawn later, unless an answer comes first or has come.
   */
  soon(answered) {
    clearTimeout(this.later);
    if (answered) return;
    if (this.quick && this.where) this.#draw(true);
    else this.later = setTimeout(() => this.ask(), LATE_MS);
  }

  /** Whether the page draws fast enough to go ahead of the answers. */
  get quick() {
    return this.#took < QUICK_MS;
  }

  /** Draws at once. */
  now() {
    cancelAnimationFrame(this.#frame);
    clearTimeout(this.later);
    this.#draw();
  }

  area() {
    const [w, h] = this.size;
    const rem = this.#rem;
    const ruled = w > 22 * rem ? 5.2 * rem : 4 * rem;
    const side = Math.max(0.6 * rem, Math.min(0.06 * w, 5 * rem));
    const ends = Math.max(4.6 * rem, 0.13 * h);
    const area = { w, h, stage: { x: side, y: ends, w: w - ruled - 2 * side - 0.4 * rem, h: h - 2 * ends }, ruler: { x: w - ruled - 0.9 * rem, y: 3.1 * rem, w: ruled, h: h - 4.4 * rem } };
    const nose = this.scene?.head.nose;
    const apart = nose && this.box && divided({ ...area.stage, x: 0.6 * rem, w: area.ruler.x - 2.2 * rem }, this.box, nose.shown, rem);
    return apart ? { ...area, ...apart } : area;
  }

  // The window of the enlarged nose: beside the connector, or over all of it when it was asked for there.
  noseWindow(area) {
    if (!this.scene.head.nose) return null;
    if (area.window) {
      if (this.lens.zoom > 1) return null;
      const { nose } = this.scene.head;
      const level = toPage(this.view(), [0, 0.5 * (nose.shown[0][1] + nose.shown[1][1])])[1];
      const { stage, window } = area;
      return { ...window, y: Math.min(stage.y + stage.h - window.h, Math.max(stage.y, level - 0.5 * window.h)) };
    }
    const rem = this.#rem;
    return this.near ? { x: 0.5 * rem, y: 3.7 * rem, w: area.ruler.x - 1.4 * rem, h: area.h - 7.4 * rem } : null;
  }

  /** Whether the nose can be shown enlarged over the picture, and has no place beside it. */
  get canNear() {
    return Boolean(this.scene?.head.nose) && !this.area().window;
  }

  /** Shows the nose enlarged over the picture, or no longer. */
  showNear(near) {
    this.near = near;
    this.ask();
  }

  /** The window of the enlarged nose under a point of the page. */
  insetAt([x, y]) {
    const window = this.over.placed?.window;
    return window && x >= window.x && x <= window.x + window.w && y >= window.y && y <= window.y + window.h ? this.over.placed : null;
  }

  // The view that shows everything, bent as it is drawn.
  #whole() {
    const { enlarged } = this.store.view;
    const of = enlarged && `${enlarged} ${this.scene.answer}`;
    if (!this.box || this.boxOf !== of) {
      this.boxOf = of;
      this.box = bounds(['frame', 'gate'].map((name) => ({ points: drawnPoints(this.scene.bodies[name], enlarged) })));
    }
    return fitting(this.box, this.area().stage);
  }

  view() {
    return this.lens.view(this.#whole(), this.area().stage);
  }

  /** Zooms by a factor about a point of the page. */
  nearer(factor, at) {
    if (!this.scene) return;
    this.lens.nearer(factor, this.#whole(), this.area().stage, at);
    this.ask();
  }

  /** Moves the picture by pixels, when it is zoomed. */
  pan(dx, dy) {
    if (!this.scene) return;
    this.lens.pan(dx, dy, this.#whole(), this.box);
    this.ask();
  }

  fit() {
    this.lens.fit();
    this.ask();
  }

  /** Both ends as they are drawn: where the hand has them, unless the state of the hand is not solved (`behind`). */
  rig() {
    return rigOf(this.scene.head, this.behind ? {} : this.store.state.set);
  }

  /** Whether the last answer is that of the rig that is drawn. */
  get fresh() {
    return this.behind || sameState(this.scene.state, this.store.state);
  }

  // `ahead`: straps and loads only, where they were and where they are now.
  #draw(ahead = false) {
    if (!ahead) this.#frame = 0;
    const { scene, canvas, size } = this;
    if (!scene || !size[0]) return;
    const began = performance.now();
    const ratio = this.paper?.ratio ?? Math.min(3, window.devicePixelRatio || 1) * (this.#coarse ? 0.5 : 1);
    if (canvas.width !== Math.round(size[0] * ratio) || canvas.height !== Math.round(size[1] * ratio)) {
      canvas.width = Math.round(size[0] * ratio);
      canvas.height = Math.round(size[1] * ratio);
    }
    const looks = this.store.view;
    const colours = spanOf(scene, looks.field, this.most);
    const options = drawingOptions(scene, this.look, looks, colours);
    Object.assign(options, { view: this.view(), size, ratio, rig: this.rig() });
    if (ahead) {
      const before = this.over.covers(this.where);
      options.only = (where) => {
        this.where = where;
        return this.over.covers(where).map((now, i) => around(now, before[i]));
      };
    }
    options.over = (context, where) => {
      this.where = where;
      this.over.draw(context, where, options, ahead);
    };
    this.where = this.drawing.draw(this.context, scene, options);
    if (this.home.dataset.zoom !== String(this.lens.zoom)) this.home.dataset.zoom = String(this.lens.zoom);
    // A new plan is made once, not with every picture.
    if (!ahead && !this.paper && !this.#coarse && this.where.key === this.#timed) this.#time(performance.now() - began);
    this.#timed = this.where.key;
    for (const told of this.drawn) told(this, ahead);
  }

  // What the browser does with the picture in its next frame counts as well: without a graphics processor it is the most.
  #time(drawing) {
    requestAnimationFrame(() => {
      const began = performance.now();
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = () => {
        // One hiccup of the machine does not make it slow.
        this.#took += 0.3 * (Math.min(2 * LONG_MS, drawing + performance.now() - began) - this.#took);
        this.home.dataset.frame = this.#took.toFixed(1);
        this.#coarse = Boolean(this.moving) && this.#took > LONG_MS;
      };
      port2.postMessage(0);
    });
  }

  /** Tells whether the hand moves; once it rests the picture is sharp again. */
  move(moving) {
    this.moving = moving;
    const coarse = moving && this.#took > LONG_MS;
    if (coarse === this.#coarse) return;
    this.#coarse = coarse;
    if (!moving) this.ask();
  }

  /** Where the line of pull of an end crosses a height on the page. */
  along(end, y) {
    const { pull, centre } = this.where?.pulls[end] ?? {};
    if (!pull) return 0;
    const at = toPage(this.view(), centre);
    return at[0] + (pull[1] ? (pull[0] / pull[1]) * (y - at[1]) : 0);
  }

  /** Size of type on the page, pixels. */
  get rem() {
    return this.#rem;
  }
}
