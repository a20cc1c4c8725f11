// What lies over the live picture: the enlarged nose, the hottest places, loads beside their straps, first yield, the ruler.

import { kilonewtons } from './balance.js';
import { FirstYield } from './first_yield.js';
import { Inset } from './inset.js';
import { pastMarks, pastWords, ruler } from './legend.js';
import { drawPlaces, drawTrajectoryKey } from './marks.js';
import { halfOf, innerEnd } from './straps.js';
import { toPage } from './view.js';

/** Marks and words of the ruler reach so far to its left, pixels. */
const RULER_PAD = 40;
/** Handles and loads stand so far from their edge of the picture, letters. */
export const HANDLE = 1.9;

export class Over {
  /** `stage`: the picture that it lies over. */
  constructor(stage) {
    Object.assign(this, { stage, inset: new Inset(), firstYield: new FirstYield(), placed: null, ruled: null });
  }

  /** Draws all of it. `ahead`: straps only move, words stay where they are. */
  draw(context, where, options, ahead) {
    const { stage } = this;
    const { view, look, span: colours, enlarged, ratio } = options;
    const { scene, rem } = stage;
    const whole = stage.area();
    const { h, ruler: area } = whole;
    const { family } = stage;
    const window = stage.noseWindow(whole);
    this.placed = window && Inset.placed(scene, view, window, enlarged, whole.window ? undefined : Infinity);
    if (this.placed && whole.window) Inset.frame(context, this.placed, view, look, rem);
    drawPlaces(context, scene, view, { look, enlarged, rem, family, marked: stage.mark });
    const taken = [[area.x - 1.6 * rem, 0, whole.w, area.y], ...(window ? [[window.x, window.y, window.x + window.w, window.y + window.h]] : []), ...this.#loads(context, where, options, area.x, h)];
    const room = [0.4 * rem, 0.4 * rem, area.x - 0.55 * rem, h - 0.4 * rem];
    const words = scene.head.yields && (whole.window || !this.placed) && this.firstYield.draw(context, scene, view, { where, size: stage.size, room, taken, look, enlarged, rem: this.#letters / 0.9, family, still: ahead });
    if (stage.store.view.field !== 'trajectories') {
      const of = [area.x, area.y, area.w, area.h, rem, colours.low, colours.high, ...colours.past.map((mpa) => mpa === null), scene.head.yield_mpa.frame, look.ink, ratio].join();
      if (this.ruled?.of !== of) this.ruled = { of, canvas: this.#ruled(colours, scene.head.yield_mpa.frame, area, look, ratio) };
      const { canvas } = this.ruled;
      context.drawImage(canvas, area.x - RULER_PAD, 0, canvas.width / ratio, canvas.height / ratio);
      pastMarks(context, colours, scene.head.yield_mpa.frame, area, this.#letters, family, look.ink);
      this.#tell('past', colours.past.map((mpa) => (mpa === null ? '' : pastWords(mpa))).join(' ').trim());
    } else if (scene.strongest) {
      this.#tell('past', '');
      drawTrajectoryKey(context, scene.strongest, view.scale, area, { rem, family });
    }
    if (this.placed) this.inset.draw(context, scene, where, this.placed, options, { rem, family });
    this.#tell('inset', this.placed ? `${this.placed.times.toFixed(1)} ${scene.head.nose.forces.map((force) => force.told).join(', ')}`.trim() : '');
    this.#tell('yields', scene.head.yields ?? '');
    this.#tell('yieldsAt', words ? words.map(Math.round).join(' ') : '');
  }

  // Each load beside its strap, on the side where there is room. Returns the boxes of loads and handles.
  #loads(context, where, { view, look }, edge, h) {
    const { stage } = this;
    const { rem, family } = stage;
    context.font = `700 ${1.15 * rem}px ${family}`;
    context.fillStyle = look.ink;
    context.textBaseline = 'middle';
    // Readable also where a zoomed connector lies under it.
    context.strokeStyle = look.halo;
    context.lineWidth = 4;
    const load = kilonewtons(stage.scene.head.findings.load_kn);
    return ['upper', 'lower'].flatMap((end) => {
      const y = end === 'upper' ? HANDLE * rem : h - HANDLE * rem;
      const at = stage.along(end, y);
      const beside = Math.max(halfOf(where.pulls[end], view.scale), 2.2 * rem) + 0.6 * rem;
      const right = at + beside + 4.6 * rem < edge - 0.6 * rem;
      context.textAlign = right ? 'left' : 'right';
      const x = right ? at + beside : at - beside;
      context.strokeText(load, x, y);
      context.fillText(load, x, y);
      return [
        [at - 2.25 * rem, y - 1.7 * rem, at + 2.25 * rem, y + 1.7 * rem],
        [x - (right ? 0 : 4.6) * rem, y - rem, x + (right ? 4.6 : 0) * rem, y + rem],
      ];
    });
  }

  /** What a strap or bar, its load beside it and its turn under the bar cover: [x, y, w, h] of each end. */
  covers({ pulls }) {
    const { stage } = this;
    const { rem } = stage;
    const view = stage.view();
    const { scale } = view;
    return ['upper', 'lower'].map((end) => {
      const outer = end === 'upper' ? 0 : stage.size[1];
      const [x] = toPage(view, pulls[end].centre);
      const half = Math.max(halfOf(pulls[end], scale), 2.2 * rem) + 6 * rem;
      const inner = innerEnd(pulls[end], view) + (end === 'upper' ? rem : -rem);
      const far = stage.along(end, outer);
      const [left, top] = [Math.min(x, far) - half, Math.min(outer, inner)];
      return [left, top, Math.max(x, far) + half - left, Math.max(outer, inner) - top];
    });
  }

  // For tests, and for who cannot see a canvas: what stands on it.
  #tell(what, words) {
    const { dataset } = this.stage.home;
    if ((dataset[what] ?? '') !== words) dataset[what] = words;
  }

  /** Size of the ruler's letters. */
  get #letters() {
    const { size, rem } = this.stage;
    return (size[0] > 22 * rem ? 0.9 : 0.78) * rem;
  }

  // The ruler changes with its range only: it is drawn once and kept as pixels.
  #ruled(colours, yieldMpa, area, look, ratio) {
    const { family, rem, size: [w, h] } = this.stage;
    const canvas = document.createElement('canvas');
    canvas.width = Math.ceil((w - area.x + RULER_PAD) * ratio);
    canvas.height = Math.ceil(h * ratio);
    const context = canvas.getContext('2d');
    context.setTransform(ratio, 0, 0, ratio, (RULER_PAD - area.x) * ratio, 0);
    ruler(context, colours, yieldMpa, area, this.#letters, family);
    context.font = `600 ${0.85 * rem}px ${family}`;
    context.fillStyle = look.ink;
    context.textAlign = 'right';
    context.textBaseline = 'alphabetic';
    const name = colours.low < 0 ? ['push to pull', 'MPa'] : ['von Mises', 'stress, MPa'];
    name.forEach((line, i) => context.fillText(line, area.x + area.w, area.y - (1.65 - 1.1 * i) * rem));
    return canvas;
  }
}
