// Straps and bars as the things they are: where they pull, and how they look behind and before the frame.

import { barCentre, seatEdge, seatPoint } from './seats.js';
import { toPage } from './view.js';

/** Thickness of a strap where it turns under the bar, mm. */
const TURN_MM = 2.4;
/** The fork that holds a bar is so many times as thick as the bar. */
const FORK = 1.35;

/** Half of what a strap or bar is wide, pixels. */
export const halfOf = ({ kind, radius, width }, scale) => scale * (kind === 'bar' ? FORK * radius : 0.5 * width);

/** Height on the page at which a strap or bar ends beyond its seat: under the turn of the strap, behind the bar. */
export function innerEnd(pull, view) {
  const { kind, centre, sign, edge } = pull;
  const beyond = kind === 'bar' ? halfOf(pull, view.scale) : TURN_MM * view.scale;
  // On a curved bar the edge under a wide strap lies further in than its middle.
  const points = edge?.length ? edge : [centre];
  return sign * (Math.max(...points.map((p) => sign * toPage(view, p)[1])) + beyond);
}

/** Where both ends pull: load centres in mm and the unit vector from the lower to the upper one, or that which the scene pulls along. */
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
  out.axis = scene.along ?? [dx / length, dy / length];
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

/** What of a strap or bar lies behind the frame. */
export function behind(context, pull, view, look, ratio, reach) {
  if (pull.kind === 'bar') {
    const c = toPage(view, pull.centre);
    const r = halfOf(pull, view.scale);
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

/** What of it lies before the frame: the strap's turn under the bar, the bar of the bench. */
export function inFront(context, pull, view, look, ratio, frame, reach) {
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
