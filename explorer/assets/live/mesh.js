// Six-node triangles: what lies under a point.
//
// A body: { points: Float32Array (x, y of each node, mm), triangles: Uint32Array (six nodes each: corners, then the
// middles of sides 01, 12, 20) }.

/** Values of the six shape functions at (s, t), into `n`. */
export function shape(s, t, n) {
  const r = 1 - s - t;
  n[0] = r * (2 * r - 1);
  n[1] = s * (2 * s - 1);
  n[2] = t * (2 * t - 1);
  n[3] = 4 * r * s;
  n[4] = 4 * s * t;
  n[5] = 4 * t * r;
}

/** Finds the triangle under a point by a grid over the mesh. */
export class Locator {
  constructor(body, points = body.points) {
    this.body = body;
    this.points = points;
    const { triangles } = body;
    let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
    for (let i = 0; i < points.length; i += 2) {
      x0 = Math.min(x0, points[i]);
      x1 = Math.max(x1, points[i]);
      y0 = Math.min(y0, points[i + 1]);
      y1 = Math.max(y1, points[i + 1]);
    }
    this.origin = [x0, y0];
    this.size = Math.max(x1 - x0, y1 - y0, 1e-9) / 48;
    this.columns = Math.floor((x1 - x0) / this.size) + 1;
    this.cells = new Map();
    for (let t = 0; t < triangles.length; t += 6) {
      let [a0, b0, a1, b1] = [Infinity, Infinity, -Infinity, -Infinity];
      for (let k = 0; k < 6; k++) {
        const n = triangles[t + k];
        a0 = Math.min(a0, points[2 * n]);
        a1 = Math.max(a1, points[2 * n]);
        b0 = Math.min(b0, points[2 * n + 1]);
        b1 = Math.max(b1, points[2 * n + 1]);
      }
      const [c0, r0] = this.cell(a0, b0);
      const [c1, r1] = this.cell(a1, b1);
      for (let r = r0; r <= r1; r++) {
        for (let c = c0; c <= c1; c++) {
          const k = r * this.columns + c;
          if (!this.cells.has(k)) this.cells.set(k, []);
          this.cells.get(k).push(t);
        }
      }
    }
  }

  cell(x, y) {
    return [Math.floor((x - this.origin[0]) / this.size), Math.floor((y - this.origin[1]) / this.size)];
  }

  /** `{ t, n }`: offset of the triangle and its six weights at the point; null outside. */
  at(x, y) {
    const [c, r] = this.cell(x, y);
    if (c < 0 || c >= this.columns) return null;
    const n = new Float64Array(6);
    for (const t of this.cells.get(r * this.columns + c) ?? []) {
      const st = this.inverse(t, x, y);
      if (st) {
        shape(st[0], st[1], n);
        return { t, n };
      }
    }
    return null;
  }

  // Newton on the quadratic map; it starts from the straight triangle and needs two or three steps.
  inverse(t, x, y) {
    const { triangles } = this.body;
    const p = this.points;
    const px = (k) => p[2 * triangles[t + k]];
    const py = (k) => p[2 * triangles[t + k] + 1];
    let [s, u] = [1 / 3, 1 / 3];
    for (let i = 0; i < 6; i++) {
      const r = 1 - s - u;
      const n = [r * (2 * r - 1), s * (2 * s - 1), u * (2 * u - 1), 4 * r * s, 4 * s * u, 4 * u * r];
      const ds = [1 - 4 * r, 4 * s - 1, 0, 4 * (r - s), 4 * u, -4 * u];
      const du = [1 - 4 * r, 0, 4 * u - 1, -4 * s, 4 * s, 4 * (r - u)];
      let [fx, fy, xs, ys, xu, yu] = [-x, -y, 0, 0, 0, 0];
      for (let k = 0; k < 6; k++) {
        fx += n[k] * px(k);
        fy += n[k] * py(k);
        xs += ds[k] * px(k);
        ys += ds[k] * py(k);
        xu += du[k] * px(k);
        yu += du[k] * py(k);
      }
      const det = xs * yu - xu * ys;
      if (!det) return null;
      const [a, b] = [(fx * yu - fy * xu) / det, (fy * xs - fx * ys) / det];
      s -= a;
      u -= b;
      if (Math.abs(a) + Math.abs(b) < 1e-7) break;
      if (Math.abs(s) > 3 || Math.abs(u) > 3) return null;
    }
    const slack = -1e-6;
    return s >= slack && u >= slack && 1 - s - u >= slack ? [s, u] : null;
  }
}

/** The sum of weights times nodal values under a found point. */
export function valueAt(body, found, values) {
  let sum = 0;
  for (let k = 0; k < 6; k++) sum += found.n[k] * values[body.triangles[found.t + k]];
  return sum;
}
