// The picture: straps and bars as the things they are, frame and gate with their stress, pins, edge ribbon, trajectories.
//
// It knows a scene (numbers) and a context to draw on, no page and no server, so that the saved viewer and the stills
// use it too. Everything is in CSS pixels of the canvas; `view` maps millimetres to them.

import { Plan, covered } from './raster.js';
import { barCentre, seatEdge, seatPoint } from './seats.js';

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

/** Thickness of a strap where it turns under the bar, mm. */
const TURN_MM = 2.4;
/** Lines and shadows reach so far beyond a body, pixels. */
const BESIDE = 16;

/** The bounds of all nodes: [x0, y0, x1, y1] in mm. */
export function bounds(bodies) {
  const out = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { points } of bodies) {
    for (let i = 0; i < points.length; i += 2) {
      out[0] = Math.min(out[0], points[i]);
      out[1] = Math.min(out[1], points[i + 1]);
      out[2] = Math.max(out[2], points[i]);
      out[3] = Math.max(out[3], points[i + 1]);
    }
  }
  return out;
}

/** A view that shows the box in the area {x, y, w, h}. */
export function fitting([x0, y0, x1, y1], area) {
  const scale = Math.min(area.w / (x1 - x0), area.h / (y1 - y0));
  return {
    scale,
    x: area.x + area.w / 2 - (scale * (x0 + x1)) / 2,
    y: area.y + area.h / 2 + (scale * (y0 + y1)) / 2,
  };
}

export const toPage = (view, [x, y]) => [view.x + view.scale * x, view.y - view.scale * y];
export const toPlane = (view, [x, y]) => [(x - view.x) / view.scale, (view.y - y) / view.scale];

/** Where the nodes of a body are drawn when displacements are enlarged so many times. */
export function drawnPoints(body, enlarged) {
  if (!enlarged || !body.moves) return body.points;
  return body.points.map((p, i) => p + enlarged * body.moves[i]);
}

// Pins go with the gate: with the mean motion of its nodes over the pin, like the pin of the model.
function movedPin(gate, [x, y], enlarged) {
  if (!enlarged || !gate.moves) return [x, y];
  let [dx, dy, n] = [0, 0, 0];
  for (let i = 0; i < gate.points.length; i += 2) {
    if (Math.hypot(gate.points[i] - x, gate.points[i + 1] - y) > 2) continue;
    dx += gate.moves[i];
    dy += gate.moves[i + 1];
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

/** Where both ends pull: load centres in mm and the unit vector from the lower to the upper one. */
export function pulls(scene, rig, drawn) {
  const out = {};
  for (const [end, sign] of [['upper', 1], ['lower', -1]]) {
    const { kind, width_mm, diameter_mm, offset_mm } = rig[end];
    if (kind === 'bar') {
      const centre = barCentre(scene.seats[end], drawn.frame, offset_mm, diameter_mm / 2, sign) ?? [offset_mm, 0];
      out[end] = { kind, centre, radius: diameter_mm / 2, sign };
    } else {
      const centre = seatPoint(scene.seats[end], drawn.frame, offset_mm) ?? [offset_mm, sign * 20];
      out[end] = { kind, centre, width: width_mm, sign, edge: seatEdge(scene.seats[end], drawn.frame, offset_mm, width_mm) };
    }
  }
  const [dx, dy] = [0, 1].map((k) => out.upper.centre[k] - out.lower.centre[k]);
  const length = Math.hypot(dx, dy) || 1;
  out.axis = [dx / length, dy / length];
  for (const end of ['upper', 'lower']) out[end].pull = [out[end].sign * out.axis[0], -out[end].sign * out.axis[1]];
  return out;
}

const weaves = new Map();

// A tile of herringbone, drawn once per look and pixel ratio: filling with it is many times faster than stroking threads.
function weave(look, ratio) {
  const key = `${look.clothDark} ${ratio}`;
  if (!weaves.has(key)) {
    const [w, h] = [22, 6];
    const tile = document.createElement('canvas');
    tile.width = Math.round(w * ratio);
    tile.height = Math.round(h * ratio);
    const c = tile.getContext('2d');
    c.scale(tile.width / w, tile.height / h);
    c.strokeStyle = look.clothDark;
    c.globalAlpha = 0.45;
    c.lineWidth = 1;
    for (const y of [-h, 0, h]) {
      c.beginPath();
      c.moveTo(0, y);
      c.lineTo(w / 2, y + h);
      c.lineTo(w, y);
      c.stroke();
    }
    weaves.set(key, { tile, w, h });
  }
  return weaves.get(key);
}

class Band {
  constructor(pull, view, reach) {
    this.edge = pull.edge.map((p) => toPage(view, p));
    this.pull = pull.pull;
    this.reach = reach;
    this.thick = TURN_MM * view.scale;
    this.a = this.edge[0];
    this.b = this.edge[this.edge.length - 1];
  }

  moved(p, by) {
    return [p[0] + by * this.pull[0], p[1] + by * this.pull[1]];
  }

  path() {
    const path = new Path2D();
    for (const p of this.edge) path.lineTo(...p);
    path.lineTo(...this.moved(this.b, this.reach));
    path.lineTo(...this.moved(this.a, this.reach));
    path.closePath();
    return path;
  }

  // The thickness under the bar, its free corners rounded.
  turn() {
    const path = new Path2D();
    for (const p of this.edge) path.lineTo(...p);
    const n = this.edge.length;
    const width = Math.hypot(this.b[0] - this.a[0], this.b[1] - this.a[1]) || 1;
    const round = Math.min(0.8 * this.thick, 0.2 * width);
    for (let i = n - 1; i >= 0; i--) {
      const p = this.edge[i];
      const side = Math.min(Math.hypot(p[0] - this.a[0], p[1] - this.a[1]), Math.hypot(p[0] - this.b[0], p[1] - this.b[1]));
      const d = Math.min(side, round);
      path.lineTo(...this.moved(p, -(this.thick - round) - Math.sqrt(Math.max(0, round * round - (round - d) ** 2))));
    }
    path.closePath();
    return path;
  }

  cloth(context, look) {
    const side = [-this.pull[1], this.pull[0]];
    const across = (this.b[0] - this.a[0]) * side[0] + (this.b[1] - this.a[1]) * side[1];
    const paint = context.createLinearGradient(this.a[0], this.a[1], this.a[0] + across * side[0], this.a[1] + across * side[1]);
    for (const [t, c] of [[0, look.clothEdge], [0.12, look.cloth], [0.5, look.clothLight], [0.88, look.cloth], [1, look.clothEdge]]) {
      paint.addColorStop(t, c);
    }
    return paint;
  }

  woven(context, look, ratio, path) {
    const { tile, w, h } = weave(look, ratio);
    const pattern = context.createPattern(tile, 'repeat');
    const side = Math.hypot(this.b[0] - this.a[0], this.b[1] - this.a[1]) || 1;
    // A whole number of ribs across, so that the weave ends at the selvage.
    const across = side / Math.max(1, Math.round(side / w)) / tile.width;
    const angle = Math.atan2(this.pull[1], this.pull[0]) - Math.PI / 2;
    pattern.setTransform(new DOMMatrix().translate(...this.a).rotate((angle * 180) / Math.PI).scale(across, h / tile.height));
    context.fillStyle = pattern;
    context.fill(path);
  }

  stitches(context, look, from, to) {
    const inset = Math.min(6 / (Math.hypot(this.b[0] - this.a[0], this.b[1] - this.a[1]) || 1), 0.25);
    context.strokeStyle = look.stitch;
    context.lineWidth = 1.8;
    context.setLineDash([8, 4.5]);
    context.beginPath();
    for (const t of [inset, 1 - inset]) {
      const p = [0, 1].map((k) => this.a[k] + t * (this.b[k] - this.a[k]));
      context.moveTo(...this.moved(p, from));
      context.lineTo(...this.moved(p, to));
    }
    context.stroke();
    context.setLineDash([]);
  }
}

function behind(context, pull, view, look, ratio, reach) {
  if (pull.kind === 'bar') {
    const c = toPage(view, pull.centre);
    const r = 1.35 * view.scale * pull.radius;
    context.save();
    context.translate(...c);
    context.rotate(Math.atan2(pull.pull[1], pull.pull[0]));
    context.beginPath();
    context.arc(0, 0, r, Math.PI / 2, -Math.PI / 2);
    context.lineTo(reach, -r);
    context.lineTo(reach, r);
    context.closePath();
    context.fillStyle = look.fork;
    context.fill();
    context.strokeStyle = look.forkEdge;
    context.lineWidth = 1.5;
    context.stroke();
    context.restore();
    return;
  }
  if (pull.edge.length < 2) return;
  const band = new Band(pull, view, reach);
  const path = band.path();
  context.fillStyle = band.cloth(context, look);
  context.fill(path);
  band.woven(context, look, ratio, path);
  context.save();
  context.clip(path);
  band.stitches(context, look, -30, reach);
  context.restore();
  context.strokeStyle = look.clothDark;
  context.lineWidth = 1.4;
  context.stroke(path);
}

function inFront(context, pull, view, look, ratio, frame, reach) {
  if (pull.kind === 'bar') {
    steel(context, toPage(view, pull.centre), view.scale * pull.radius, look);
    return;
  }
  if (pull.edge.length < 2) return;
  const band = new Band(pull, view, reach);
  context.save();
  context.clip(frame, 'evenodd');
  context.strokeStyle = 'rgba(246, 240, 228, 0.55)';
  context.lineWidth = 1.6;
  context.setLineDash([8, 4.5]);
  context.beginPath();
  for (const p of [band.a, band.b]) {
    context.moveTo(...p);
    context.lineTo(...band.moved(p, reach));
  }
  context.stroke();
  context.restore();
  const turn = band.turn();
  const middle = [0.5 * (band.a[0] + band.b[0]), 0.5 * (band.a[1] + band.b[1])];
  const lit = context.createLinearGradient(...middle, ...band.moved(middle, -band.thick));
  lit.addColorStop(0, look.clothDark);
  lit.addColorStop(0.45, look.cloth);
  lit.addColorStop(1, look.clothEdge);
  context.fillStyle = lit;
  context.fill(turn);
  band.woven(context, look, ratio, turn);
  context.save();
  context.clip(turn);
  band.stitches(context, look, -band.thick - 2, 2);
  context.restore();
  context.strokeStyle = look.clothDark;
  context.lineWidth = 1.4;
  context.stroke(turn);
}

/** A steel disc, lit from the upper left. */
export function steel(context, [x, y], r, look, idle = false) {
  const paint = context.createRadialGradient(x - 0.35 * r, y - 0.4 * r, 0, x, y, 1.05 * r);
  for (const [t, c] of [[0, '#fbfbfa'], [0.45, '#c3c8ca'], [0.85, '#80898e'], [1, '#5c666c']]) paint.addColorStop(t, c);
  context.beginPath();
  context.arc(x, y, r, 0, 2 * Math.PI);
  context.fillStyle = idle ? look.idle : paint;
  context.fill();
  context.strokeStyle = idle ? look.quiet : '#1c2831';
  context.lineWidth = 1.6;
  context.stroke();
}

/**
 * A drawing that keeps what a change of rig does not touch: pixel plans and outlines.
 * `draw(scene, options)`; options: rig, view, size [w, h], ratio, look, values {frame, gate}, span, enlarged, extras; `only(where)`:
 * rectangles [x, y, w, h] outside which the canvas stays as it is.
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
    const { rig, view, size, ratio, look, values, span, open } = options;
    const kept = this.#prepared(scene, options);
    const where = { ...kept, pulls: pulls(scene, rig, kept.drawn) };
    const { frame, gate } = kept.paths;
    const reach = 2 * (size[0] + size[1]);
    context.setTransform(ratio, 0, 0, ratio, 0, 0);
    context.save();
    if (options.only) {
      context.beginPath();
      for (const part of options.only(where)) context.rect(...part);
      context.clip();
    }
    if (options.paper) {
      context.fillStyle = look.paper;
      context.fillRect(0, 0, ...size);
    } else {
      context.clearRect(0, 0, ...size);
    }
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

    if (open) {
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
    for (const pin of scene.pins) {
      steel(context, toPage(view, movedPin(scene.bodies.gate, pin.centre, options.enlarged)), view.scale * pin.radius_mm, look, open);
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
    } else {
      this.#field(context, kept, name, values[name], span);
    }
    this.#layer(context, kept, `${name} outline`, name, { ratio }, (own) => {
      own.strokeStyle = look.outline;
      own.lineWidth = 1.7;
      own.stroke(path);
    });
  }
}
