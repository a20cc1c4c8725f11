// Stress trajectories: evenly spaced lines along the first principal stress, each as thick as the force that flows in it.
//
// Lines are grown one after another and stop where they would come too near an older one (B. Jobard, W. Lefer 1997). A
// trajectory stands for the strip of material of one spacing around it: its force is stress times breadth times spacing. The
// seeds are a fixed grid, strongest first: no chance is involved.

import { roundUp } from './colour.js';
import { Plan } from './raster.js';

const SPACING = 15;
const NEAREST = 0.55;
const STEP = 2;
const THICKEST = 11;
const WEAKEST = 0.03;
const SAMPLES = 0.5;

/** Force per length across the line that is drawn thickest, N/mm: what nearly all of the bodies stay below. */
export function strongestFlow(bodies) {
  const flows = [];
  for (const body of bodies) {
    for (let i = 0; i < body.breadth.length; i++) {
      const f = body.principal[3 * i] * body.breadth[i];
      if (f > 0) flows.push(f);
    }
  }
  const all = Float32Array.from(flows).sort();
  return all[Math.min(all.length - 1, Math.floor(0.99 * all.length))] ?? 1;
}

class Flow {
  constructor(body, points, view, size, strongest) {
    const scaled = { scale: view.scale * SAMPLES, x: view.x * SAMPLES, y: view.y * SAMPLES };
    this.plan = new Plan(body, scaled, size.map((s) => Math.ceil(s * SAMPLES)), points);
    const { width, height } = this.plan;
    const n = body.breadth.length;
    // Components, not angles: an angle between 179 and 1 degree is not 90.
    const parts = [0, 1, 2, 3].map(() => new Float32Array(n));
    for (let i = 0; i < n; i++) {
      const [p, q, angle] = [body.principal[3 * i], body.principal[3 * i + 1], body.principal[3 * i + 2]];
      parts[0][i] = 0.5 * (p + q);
      parts[1][i] = 0.5 * (p - q) * Math.cos(2 * angle);
      parts[2][i] = 0.5 * (p - q) * Math.sin(2 * angle);
      parts[3][i] = body.breadth[i];
    }
    this.grids = parts.map((values) => this.plan.sample(values));
    this.weakest = WEAKEST * strongest;
    this.box = [this.plan.x0 / SAMPLES, this.plan.y0 / SAMPLES, width / SAMPLES, height / SAMPLES];
  }

  // [force per length, direction x, direction y] on the page; null where there is too little to show.
  at(x, y) {
    const { plan, grids } = this;
    const [c, r] = [Math.floor(x * SAMPLES) - plan.x0, Math.floor(y * SAMPLES) - plan.y0];
    if (c < 0 || r < 0 || c >= plan.width || r >= plan.height) return null;
    const k = r * plan.width + c;
    const mean = grids[0][k];
    const flow = (mean + Math.hypot(grids[1][k], grids[2][k])) * grids[3][k];
    if (!(flow > this.weakest)) return null;
    const angle = 0.5 * Math.atan2(grids[2][k], grids[1][k]);
    return [flow, Math.cos(angle), -Math.sin(angle)];
  }
}

class Taken {
  constructor([x, y, w]) {
    this.corner = [x - SPACING, y - SPACING];
    this.columns = Math.ceil(w / SPACING) + 4;
    this.cells = new Map();
  }

  add(line) {
    for (const p of line) {
      const k = Math.floor((p[1] - this.corner[1]) / SPACING) * this.columns + Math.floor((p[0] - this.corner[0]) / SPACING);
      const cell = this.cells.get(k);
      if (cell) cell.push(p);
      else this.cells.set(k, [p]);
    }
  }

  near(x, y, distance) {
    const [i, j] = [Math.floor((x - this.corner[0]) / SPACING), Math.floor((y - this.corner[1]) / SPACING)];
    for (let r = j - 1; r <= j + 1; r++) {
      for (let c = i - 1; c <= i + 1; c++) {
        for (const q of this.cells.get(r * this.columns + c) ?? []) {
          if ((q[0] - x) ** 2 + (q[1] - y) ** 2 < distance * distance) return true;
        }
      }
    }
    return false;
  }
}

// Midpoint steps until the line leaves the body, weakens, or meets another one.
function grow(flow, from, heading, taken) {
  const line = [];
  let [x, y] = from;
  let [hx, hy] = heading;
  for (let i = 0; i < 2000; i++) {
    const d = flow.at(x, y);
    if (!d) break;
    const s = d[1] * hx + d[2] * hy < 0 ? -1 : 1;
    const m = flow.at(x + 0.5 * STEP * s * d[1], y + 0.5 * STEP * s * d[2]);
    if (!m) break;
    const t = m[1] * hx + m[2] * hy < 0 ? -1 : 1;
    const [mx, my] = [t * m[1], t * m[2]];
    // Where the two principal stresses meet the direction jumps; a trajectory has no corner.
    if (mx * hx + my * hy < 0.95) break;
    [x, y] = [x + STEP * mx, y + STEP * my];
    const back = i * STEP > 3 * SPACING && Math.hypot(x - from[0], y - from[1]) < STEP;
    if (back || taken.near(x, y, NEAREST * SPACING)) break;
    const here = flow.at(x, y);
    if (!here) break;
    line.push([x, y, here[0]]);
    [hx, hy] = [mx, my];
  }
  return line;
}

function linesOf(flow) {
  const taken = new Taken(flow.box);
  const lines = [];
  const attempt = (x, y) => {
    if (taken.near(x, y, 0.98 * SPACING)) return;
    const d = flow.at(x, y);
    if (!d) return;
    const line = grow(flow, [x, y], [-d[1], -d[2]], taken).reverse();
    line.push([x, y, d[0]], ...grow(flow, [x, y], [d[1], d[2]], taken));
    if (line.length * STEP > 2 * SPACING) {
      taken.add(line);
      lines.push(line);
    }
  };
  const seeds = [];
  const [x0, y0, w, h] = flow.box;
  for (let y = y0; y < y0 + h; y += SPACING / 2) {
    for (let x = x0; x < x0 + w; x += SPACING / 2) {
      const d = flow.at(x, y);
      if (d) seeds.push([d[0], x, y]);
    }
  }
  seeds.sort((a, b) => b[0] - a[0]);
  let next = 0;
  for (const [, x, y] of seeds) {
    attempt(x, y);
    // Neighbours of each new line first: that is what keeps the spacing even.
    for (; next < lines.length; next++) {
      for (let i = 0; i < lines[next].length; i += 4) {
        const p = lines[next][i];
        const d = flow.at(p[0], p[1]);
        if (!d) continue;
        attempt(p[0] - SPACING * d[2], p[1] + SPACING * d[1]);
        attempt(p[0] + SPACING * d[2], p[1] - SPACING * d[1]);
      }
    }
  }
  return lines;
}

/** Sample trajectories for a key: `[{ kn, thick }]` at so many pixels per mm. */
export function trajectoryKey(strongest, scale) {
  const whole = (strongest * SPACING) / scale / 1000;
  const largest = roundUp(0.6 * whole);
  return [1, 0.5, 0.2].map((part) => ({ kn: part * largest, thick: Math.max(1, (THICKEST * part * largest) / whole) }));
}

/** The trajectories of a body as one path on the page. */
export function trajectoryPath(body, points, view, size, strongest) {
  const flow = new Flow(body, points, view, size, strongest);
  const path = new Path2D();
  for (const line of linesOf(flow)) {
    const n = line.length;
    const side = (i, sign) => {
      const [a, b] = [line[Math.max(0, i - 1)], line[Math.min(n - 1, i + 1)]];
      const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
      const l = Math.hypot(dx, dy) || 1;
      const taper = Math.min(1, Math.min(i, n - 1 - i) / 6);
      const thick = Math.max(1, Math.min(1.15 * THICKEST, (THICKEST * line[i][2]) / strongest));
      const half = 0.5 * sign * taper * thick;
      return [line[i][0] - (half * dy) / l, line[i][1] + (half * dx) / l];
    };
    const outline = new Path2D();
    for (let i = 0; i < n; i++) outline.lineTo(...side(i, 1));
    for (let i = n - 1; i >= 0; i--) outline.lineTo(...side(i, -1));
    outline.closePath();
    path.addPath(outline);
  }
  return path;
}
