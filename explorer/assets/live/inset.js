// The nose with its notch, enlarged in a window beside the connector: a shut gate hides it in the picture.
//
// The body that has the notch carries its field in the colours of the picture; the other body and the pin are outlines only.
// Arrows are the forces of the pin on the notch. What stays from answer to answer is kept as pixels.

import { movedPoint, outlinePath } from './drawing.js';
import { Plan, covered } from './raster.js';
import { trajectoryPath } from './trajectories.js';
import { toPage } from './view.js';

/** So many times as large as the picture is the window drawn, where it has room. */
const ENLARGED = 4;
/** Below this the window would show nothing that the picture does not. */
const LEAST = 1.8;
/** A connector beside a window is at least this part of the size that it has without. */
const KEPT = 0.88;
/** Width of a window over that of its stage, and its height over its width. */
const WIDE = [0.2, 0.34];
const HIGH = 0.9;
/** The longest arrow over the window's height; forces below that part of the largest have no number. */
const LONGEST = 0.36;
const TOLD = 0.08;

/**
 * Divides a stage {x, y, w, h} between a connector of the box [x0, y0, x1, y1] (mm) and the window for its nose, on the right:
 * `{ stage, window }`, or null where the connector would become too small. `rem`: size of type.
 */
export function divided(stage, box, shown, rem) {
  const [wide, high] = [box[2] - box[0], box[3] - box[1]];
  const whole = Math.min(stage.w / wide, stage.h / high);
  const w = Math.min(WIDE[1] * stage.w, Math.max(WIDE[0] * stage.w, 8 * rem, ENLARGED * whole * Math.max(shown[1][0] - shown[0][0], (shown[1][1] - shown[0][1]) / HIGH)));
  const rest = { ...stage, w: stage.w - w - 0.9 * rem };
  const scale = Math.min(rest.w / wide, rest.h / high);
  const window = { x: stage.x + stage.w - w, y: stage.y, w, h: Math.min(HIGH * w, stage.h) };
  const near = fittingScale(shown, window) / scale;
  return scale < KEPT * whole || near < LEAST || w < 8 * rem ? null : { stage: rest, window };
}

const fittingScale = ([low, high], { w, h }) => Math.min(w / (high[0] - low[0]), h / (high[1] - low[1]));

export class Inset {
  #kept = [];

  /** What a window {x, y, w, h} shows of a scene whose picture has this view; `most`: how many times enlarged at most. */
  static placed(scene, view, window, enlarged, most = ENLARGED) {
    const { shown } = scene.head.nose;
    const scale = Math.min(fittingScale(shown, window), most * view.scale);
    const middle = movedPoint(scene.bodies, [0, 1].map((k) => 0.5 * (shown[0][k] + shown[1][k])), enlarged);
    const half = [0.5 * window.w / scale, 0.5 * window.h / scale];
    return {
      window,
      on: scene.head.nose.on,
      times: scale / view.scale,
      view: { scale, x: window.x + 0.5 * window.w - scale * middle[0], y: window.y + 0.5 * window.h + scale * middle[1] },
      seen: [[middle[0] - half[0], middle[1] + half[1]], [middle[0] + half[0], middle[1] - half[1]]],
    };
  }

  // What does not change with the rig: where pixels lie in the mesh, and the lines above them.
  #prepared(scene, drawn, { window, view, on }, { ratio, enlarged, look }) {
    const key = `${scene.mesh} ${on} ${window.w} ${window.h} ${view.scale} ${view.x - window.x} ${view.y - window.y} ${ratio} ${enlarged} ${look.paper}`;
    const found = this.#kept.find((kept) => kept.key === key && (!enlarged || kept.answer === scene.answer));
    if (found) return found;
    const local = { scale: view.scale, x: view.x - window.x, y: view.y - window.y };
    const scaled = { scale: local.scale * ratio, x: local.x * ratio, y: local.y * ratio };
    const size = [Math.ceil(window.w * ratio), Math.ceil(window.h * ratio)];
    const other = on === 'frame' ? 'gate' : 'frame';
    const body = scene.bodies[on];
    const plan = new Plan(body, scaled, size, drawn[on]);
    if (plan.image) plan.cut(covered(outlinePath(body, drawn[on], scaled), plan));
    const lines = Object.assign(document.createElement('canvas'), { width: size[0], height: size[1] });
    const context = lines.getContext('2d');
    context.setTransform(ratio, 0, 0, ratio, 0, 0);
    context.lineJoin = 'round';
    const stroked = (path, halo, colour, thick) => {
      context.strokeStyle = halo;
      context.lineWidth = thick + 3;
      context.stroke(path);
      context.strokeStyle = colour;
      context.lineWidth = thick;
      context.stroke(path);
    };
    const own = outlinePath(body, drawn[on], local);
    context.strokeStyle = look.outline;
    context.lineWidth = 1.7;
    context.stroke(own);
    stroked(outlinePath(scene.bodies[other], drawn[other], local), look.halo, look.accent, 2);
    const [pin] = scene.pins;
    const disc = new Path2D();
    disc.arc(...toPage(local, movedPoint({ gate: scene.bodies.gate }, pin.centre, enlarged)), local.scale * pin.radius_mm, 0, 2 * Math.PI);
    context.fillStyle = look.paper;
    context.globalAlpha = 0.3;
    context.fill(disc);
    context.globalAlpha = 1;
    stroked(disc, look.halo, look.ink, 2);
    const kept = { key, answer: scene.answer, plan, lines, local, own };
    this.#kept = [kept, ...this.#kept.slice(0, 1)];
    return kept;
  }

  #field({ plan }, values, span) {
    if (!plan.image) return null;
    const canvas = (plan.canvas ??= Object.assign(document.createElement('canvas'), { width: plan.width, height: plan.height }));
    if (plan.values !== values || plan.low !== span.low || plan.high !== span.high || plan.scale !== span.scale) {
      plan.paint(values, span);
      Object.assign(plan, { values, low: span.low, high: span.high, scale: span.scale });
      canvas.getContext('2d').putImageData(plan.image, 0, 0);
    }
    return canvas;
  }

  #trajectories(context, kept, scene, drawn, { window, on }, { look }) {
    if (kept.traced !== scene.answer) {
      kept.traced = scene.answer;
      kept.path = trajectoryPath(scene.bodies[on], drawn[on], kept.local, [window.w, window.h], scene.strongest);
    }
    context.fillStyle = look.shade;
    context.fill(kept.own, 'evenodd');
    context.save();
    context.clip(kept.own, 'evenodd');
    context.fillStyle = on === 'gate' ? look.accent : look.ink;
    context.fill(kept.path);
    context.restore();
  }

  /** Draws the window; `where`: what the picture's drawing returned, `options`: what it was given, `rem`: size of type. */
  draw(context, scene, where, placed, options, { rem, family }) {
    const { window, on } = placed;
    const { look, ratio } = options;
    const kept = this.#prepared(scene, where.drawn, placed, options);
    const border = new Path2D();
    border.roundRect(window.x, window.y, window.w, window.h, 0.8 * rem);
    context.save();
    context.fillStyle = look.paper;
    context.fill(border);
    context.clip(border);
    context.translate(window.x, window.y);
    if (options.trajectories) {
      this.#trajectories(context, kept, scene, where.drawn, placed, options);
    } else {
      const field = this.#field(kept, options.values[on], options.span);
      if (field) context.drawImage(field, kept.plan.x0 / ratio, kept.plan.y0 / ratio, kept.plan.width / ratio, kept.plan.height / ratio);
    }
    context.drawImage(kept.lines, 0, 0, kept.lines.width / ratio, kept.lines.height / ratio);
    this.#arrows(context, scene, kept.local, placed, options, { rem, family });
    context.restore();
    context.strokeStyle = look.accent;
    context.lineWidth = 2.2;
    context.stroke(border);
    if (!options.trajectories) return;
    context.font = `400 ${0.8 * rem}px ${family}`;
    context.fillStyle = look.quiet;
    context.textAlign = 'center';
    context.textBaseline = 'top';
    context.fillText(`lines carry 1/${Number(placed.times.toFixed(1))}`, window.x + 0.5 * window.w, window.y + window.h + 0.35 * rem);
  }

  #arrows(context, scene, view, { window, on }, { look, enlarged }, { rem, family }) {
    const { forces } = scene.head.nose;
    const size = ({ kn }) => Math.hypot(...kn);
    const largest = Math.max(0, ...forces.map(size));
    let free = 0.4 * rem;
    for (const force of forces) {
      const part = size(force) / largest;
      const long = LONGEST * window.h * part;
      const [ax, ay] = [force.kn[0] / size(force), -force.kn[1] / size(force)];
      const tip = toPage(view, movedPoint({ [on]: scene.bodies[on] }, force.at, enlarged));
      const from = (back, side) => [tip[0] - back * ax - side * ay, tip[1] - back * ay + side * ax];
      const head = Math.min(0.5 * long, 0.9 * rem);
      const [thin, wide] = [0.17 * head, 0.5 * head];
      const arrow = new Path2D();
      for (const p of [from(0, 0), from(head, wide), from(head, thin), from(long, thin), from(long, -thin), from(head, -thin), from(head, -wide)]) arrow.lineTo(...p);
      arrow.closePath();
      context.strokeStyle = look.paper;
      context.lineWidth = 4;
      context.stroke(arrow);
      context.fillStyle = look.ink;
      context.fill(arrow);
      if (part < TOLD) continue;
      context.font = `700 ${0.85 * rem}px ${family}`;
      context.textAlign = 'center';
      context.textBaseline = 'middle';
      // Beside the arrow's other end, inside the window, below a number that is there already.
      const words = 0.5 * context.measureText(force.told).width + 0.35 * rem;
      const end = from(long, 0);
      const x = Math.min(window.w - words - 4, Math.max(words + 4, end[0] - words - 0.4 * rem));
      const y = Math.min(window.h - 0.9 * rem, Math.max(free + 0.6 * rem, end[1]));
      free = y + 0.8 * rem;
      context.beginPath();
      context.roundRect(x - words, y - 0.65 * rem, 2 * words, 1.3 * rem, 0.35 * rem);
      context.fillStyle = look.halo;
      context.fill();
      context.fillStyle = look.ink;
      context.fillText(force.told, x, y + 0.5);
    }
  }

  /** The frame around what a window shows, in the picture, and the line from there to a window beside it. */
  static frame(context, { window, seen }, view, look, rem) {
    const [a, b] = seen.map((p) => toPage(view, p));
    const frame = new Path2D();
    frame.roundRect(a[0], a[1], b[0] - a[0], b[1] - a[1], 0.25 * rem);
    const y = Math.min(window.y + window.h - rem, Math.max(window.y + rem, 0.5 * (a[1] + b[1])));
    if (window.x > b[0]) {
      frame.moveTo(b[0], 0.5 * (a[1] + b[1]));
      frame.lineTo(window.x, y);
    }
    context.strokeStyle = look.halo;
    context.lineWidth = 4.5;
    context.stroke(frame);
    context.strokeStyle = look.accent;
    context.lineWidth = 2;
    context.stroke(frame);
  }
}
