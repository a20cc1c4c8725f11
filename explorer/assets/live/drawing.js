// The picture: straps and bars as the things they are, frame and gate with their stress, pins, edge ribbon, trajectories.
//
// It knows a scene (numbers) and a context to draw on, no page and no server, so that the saved viewer and the stills
// use it too. Everything is in CSS pixels of the canvas; `view` maps millimetres to them.

import { Plan, covered } from './raster.js';
import { behind, inFront, pulls, steel } from './straps.js';
import { toPage } from './view.js';

/** Colours of the picture in the two themes; the printed maps use the light one. */
export const LOOKS = {
  light: {
    paper: '#f6f0e4', shade: '#e6dccb', ink: '#1c2831', quiet: '#626059', accent: '#0d6b66', outline: '#1c2831',
    cloth: '#9fab9e', clothLight: '#aeb9aa', clothEdge: '#7b897f', clothDark: '#55635c', stitch: '#f3ecd9',
    fork: '#d9d6cd', forkEdge: '#9a9a94', shadow: 'rgba(28, 40, 49, 0.11)', halo: 'rgba(246, 240, 228, 0.92)', idle: '#e2dfd6',
  },
  dark: {
    paper: '#171b1e', shade: '#2a3034', ink: '#f1eadb', quiet: '#b5ae9f', accent: '#5cc9bd', outline: '#e9e0cf',
    cloth: '#76847a', clothLight: '#86958a', clothEdge: '#596860', clothDark: '#b8c4b9', stitch: '#d9d0ba',
    fork: '#3a4145', forkEdge: '#70787c', shadow: 'rgba(0, 0, 0, 0.35)', halo: 'rgba(23, 27, 30, 0.9)', idle: '#3c4347',
  },
};

/** Lines and shadows reach so far beyond a body, pixels. */
const BESIDE = 16;

/** Where the nodes of a body are drawn when displacements are enlarged so many times. */
export function drawnPoints(body, enlarged) {
  if (!enlarged || !body.moves) return body.points;
  return body.points.map((p, i) => p + enlarged * body.moves[i]);
}

// Pins go with a body, the gate unless it is told otherwise: with the mean motion of its nodes over the pin, like the pin of the model.
function movedPin(body, [x, y], enlarged) {
  if (!enlarged || !body.moves) return [x, y];
  let [dx, dy, n] = [0, 0, 0];
  for (let i = 0; i < body.points.length; i += 2) {
    if (Math.hypot(body.points[i] - x, body.points[i + 1] - y) > 2) continue;
    dx += body.moves[i];
    dy += body.moves[i + 1];
    n++;
  }
  return n ? [x + (enlarged * dx) / n, y + (enlarged * dy) / n] : [x, y];
}

/** Where a point of a body is drawn: it goes with the nearest node. */
export function movedPoint(bodies, [x, y], enlarged) {
  if (!enlarged) return [x, y];
  let [best, at] = [Infinity, [x, y]];
  for (const { points, moves } of Object.values(bodies)) {
    for (let i = 0; i < points.length; i += 2) {
      const d = (points[i] - x) ** 2 + (points[i + 1] - y) ** 2;
      if (d < best) [best, at] = [d, [x + enlarged * moves[i], y + enlarged * moves[i + 1]]];
    }
  }
  return at;
}

/** A rectangle of the page, out to whole pixels of the screen: within one that is cut through, old and new would mix. */
function outward([x, y, w, h], ratio) {
  const [left, top] = [x, y].map((v) => Math.floor(v * ratio) / ratio);
  return [left, top, Math.ceil((x + w) * ratio) / ratio - left, Math.ceil((y + h) * ratio) / ratio - top];
}

/** Outline of a body as a path on the page. */
export function outlinePath(body, points, view) {
  const path = new Path2D();
  const px = (n) => view.x + view.scale * points[2 * n];
  const py = (n) => view.y - view.scale * points[2 * n + 1];
  for (const loop of body.loops) {
    path.moveTo(px(loop[0]), py(loop[0]));
    for (let i = 0; i < loop.length; i += 2) {
      const [a, m, b] = [loop[i], loop[i + 1], loop[(i + 2) % loop.length]];
      // The curve through the middle node has its control point twice as far out.
      path.quadraticCurveTo(2 * px(m) - 0.5 * (px(a) + px(b)), 2 * py(m) - 0.5 * (py(a) + py(b)), px(b), py(b));
    }
    path.closePath();
  }
  return path;
}

/**
 * A drawing that keeps what a change of rig does not touch: pixel plans and outlines.
 * `draw(scene, options)`; options: rig, view, size [w, h], ratio, look, values {frame, gate} (a gate without any is a plain plate), span, enlarged,
 * `open` (the gate is faded), `gone` (it is away, with the pins that it takes along), under, over; `only(where)`: rectangles [x, y, w, h]
 * outside which the canvas stays as it is.
 */
export class Drawing {
  #kept = [];

  /** Forgets the plans (a new mesh). */
  forget() {
    this.#kept = [];
  }

  #prepared(scene, { view, size, ratio, enlarged, look }) {
    const key = `${scene.mesh} ${view.scale} ${view.x} ${view.y} ${size} ${ratio} ${enlarged} ${look.paper}`;
    // A deformed shape moves with every answer.
    const found = this.#kept.find((kept) => kept.key === key && (!enlarged || kept.answer === scene.answer));
    if (found) return found;
    const cut = Math.min(ratio, Math.sqrt(3.2e6 / Math.max(1, size[0] * size[1])));
    const scaled = { scale: view.scale * cut, x: view.x * cut, y: view.y * cut };
    const kept = { key, answer: scene.answer, cut, drawn: {}, paths: {}, plans: {}, layers: {} };
    for (const name of ['frame', 'gate']) {
      const body = scene.bodies[name];
      kept.drawn[name] = drawnPoints(body, enlarged);
      kept.paths[name] = outlinePath(body, kept.drawn[name], view);
      const plan = (kept.plans[name] = new Plan(body, scaled, [Math.ceil(size[0] * cut), Math.ceil(size[1] * cut)], kept.drawn[name]));
      if (plan.image) plan.cut(covered(outlinePath(body, kept.drawn[name], scaled), plan));
    }
    // Two are kept: the sharp one of a hand that rests and the coarse one of a hand that moves.
    this.#kept = [kept, ...this.#kept.slice(0, 1)];
    return kept;
  }

  // What stays as it is from answer to answer is drawn once and kept as pixels; it lies around the body `of`.
  #layer(context, kept, name, of, { ratio }, draw) {
    const plan = kept.plans[of];
    if (!plan.image) return;
    const layer = (kept.layers[name] ??= (() => {
      const [x, y] = [plan.x0, plan.y0].map((v) => Math.floor((v / kept.cut - BESIDE) * ratio) / ratio);
      const [w, h] = [plan.width, plan.height].map((v) => Math.ceil((v / kept.cut + 2 * BESIDE) * ratio));
      const canvas = Object.assign(document.createElement('canvas'), { width: w, height: h });
      const own = canvas.getContext('2d');
      own.setTransform(ratio, 0, 0, ratio, -x * ratio, -y * ratio);
      own.lineJoin = 'round';
      draw(own);
      return { canvas, x, y, w: w / ratio, h: h / ratio };
    })());
    context.drawImage(layer.canvas, layer.x, layer.y, layer.w, layer.h);
  }

  #field(context, kept, name, values, span) {
    const plan = kept.plans[name];
    if (!plan.image) return;
    const canvas = (plan.canvas ??= Object.assign(document.createElement('canvas'), { width: plan.width, height: plan.height }));
    // A strap that runs ahead of its answer repaints the straps only.
    if (plan.values !== values || plan.low !== span.low || plan.high !== span.high || plan.scale !== span.scale) {
      plan.paint(values, span);
      Object.assign(plan, { values, low: span.low, high: span.high, scale: span.scale });
      canvas.getContext('2d').putImageData(plan.image, 0, 0);
    }
    const k = 1 / kept.cut;
    context.drawImage(canvas, plan.x0 * k, plan.y0 * k, plan.width * k, plan.height * k);
  }

  /** Draws and returns where things are: `{ pulls, paths, drawn }`. */
  draw(context, scene, options) {
    const { rig, view, size, ratio, look, open, gone } = options;
    const kept = this.#prepared(scene, options);
    const where = { ...kept, pulls: pulls(scene, rig, kept.drawn) };
    const { frame, gate } = kept.paths;
    const reach = 2 * (size[0] + size[1]);
    context.setTransform(ratio, 0, 0, ratio, 0, 0);
    context.save();
    if (options.only) {
      context.beginPath();
      for (const part of options.only(where)) context.rect(...outward(part, ratio));
      context.clip();
    }
    context.clearRect(0, 0, ...size);
    context.lineJoin = 'round';

    this.#layer(context, kept, 'shadow', 'frame', options, (own) => {
      own.translate(4, 7);
      own.fillStyle = look.shadow;
      own.strokeStyle = look.shadow;
      own.fill(frame, 'evenodd');
      own.lineWidth = 9;
      own.stroke(frame);
    });

    for (const end of ['upper', 'lower']) behind(context, where.pulls[end], view, look, ratio, reach);
    options.under?.(context, where);
    this.#body(context, kept, 'frame', options);
    for (const end of ['upper', 'lower']) inFront(context, where.pulls[end], view, look, ratio, frame, reach);

    if (gone) {
      // Nothing of it is left.
    } else if (open) {
      context.save();
      context.fillStyle = look.shade;
      context.globalAlpha = 0.45;
      context.fill(gate, 'evenodd');
      context.globalAlpha = 1;
      context.setLineDash([8, 6]);
      context.strokeStyle = look.quiet;
      context.lineWidth = 1.6;
      context.stroke(gate);
      context.restore();
    } else {
      this.#layer(context, kept, 'halo', 'gate', options, (own) => {
        own.strokeStyle = look.halo;
        own.lineWidth = 7;
        own.stroke(gate);
      });
      this.#body(context, kept, 'gate', options);
      this.#layer(context, kept, 'hidden', 'gate', options, (own) => {
        own.clip(gate, 'evenodd');
        own.strokeStyle = 'rgba(246, 240, 228, 0.55)';
        own.lineWidth = 2.6;
        own.stroke(frame);
        own.strokeStyle = 'rgba(28, 40, 49, 0.8)';
        own.lineWidth = 1.3;
        own.setLineDash([6, 4]);
        own.stroke(frame);
      });
    }
    for (const { centre, radius_mm, on = 'gate' } of scene.pins) {
      if (gone && on === 'gate') continue;
      steel(context, toPage(view, movedPin(scene.bodies[on], centre, options.enlarged)), view.scale * radius_mm, look, open);
    }
    options.over?.(context, where);
    context.restore();
    return where;
  }

  #body(context, kept, name, { look, ratio, values, span, trajectories }) {
    const path = kept.paths[name];
    if (trajectories) {
      context.save();
      context.clip(path, 'evenodd');
      context.fillStyle = look.shade;
      context.fill(path, 'evenodd');
      trajectories(context, name, kept);
      context.restore();
    } else if (values[name]) {
      this.#field(context, kept, name, values[name], span);
    } else {
      context.fillStyle = look.shade;
      context.fill(path, 'evenodd');
    }
    this.#layer(context, kept, `${name} outline`, name, { ratio }, (own) => {
      own.strokeStyle = look.outline;
      own.lineWidth = 1.7;
      own.stroke(path);
    });
  }
}
