// Stress on pixels, without a graphics processor.
//
// What costs is to find out which triangle lies under which pixel; that depends on mesh and view only. So it is done
// once and kept as a plan (pixel, and where in its triangle); a new field on the same view then costs one pass of
// multiply-adds and a table look-up per pixel. The value is interpolated, never the colour.

/** Longest side of a small straight piece of a triangle, pixels: curved sides then miss by under a tenth of a pixel. */
const PIECE = 12;
/** Pixels that the raster runs past the outline; the drawing cuts it along the true outline. */
const MARGIN = 3;

/** Which pixel lies where in the mesh. `place(x, y)` is in mm; the view maps [x, y] to [ax + bx, ay + by]. */
export class Plan {
  /**
   * @param {{points: Float32Array, triangles: Uint32Array}} body
   * @param {{scale: number, x: number, y: number}} view pixel = (x + scale * mm, y - scale * mm)
   * @param {[number, number]} size of the canvas, pixels
   * @param {Float32Array} points where the nodes are drawn (deformed, or body.points)
   */
  constructor(body, view, size, points = body.points) {
    this.body = body;
    const count = points.length / 2;
    const px = new Float64Array(2 * count);
    let [lx, ly, hx, hy] = [Infinity, Infinity, -Infinity, -Infinity];
    for (let i = 0; i < count; i++) {
      const x = (px[2 * i] = view.x + view.scale * points[2 * i]);
      const y = (px[2 * i + 1] = view.y - view.scale * points[2 * i + 1]);
      if (x < lx) lx = x;
      if (x > hx) hx = x;
      if (y < ly) ly = y;
      if (y > hy) hy = y;
    }
    this.x0 = Math.max(0, Math.floor(lx) - MARGIN);
    this.y0 = Math.max(0, Math.floor(ly) - MARGIN);
    this.width = Math.max(0, Math.min(size[0], Math.ceil(hx) + MARGIN) - this.x0);
    this.height = Math.max(0, Math.min(size[1], Math.ceil(hy) + MARGIN) - this.y0);
    this.owner = new Int32Array(this.width * this.height).fill(-1);
    this.where = new Float32Array(2 * this.width * this.height);
    if (this.width && this.height) this.#fill(px);
    this.#sort();
    this.#grow();
    this.edge = new Uint32Array(0);
    this.alpha = new Uint8Array(0);
    this.image = this.width && this.height ? new ImageData(this.width, this.height) : null;
    this.pixels = this.image ? new Uint32Array(this.image.data.buffer) : new Uint32Array(0);
    delete this.owner;
    delete this.where;
  }

  #fill(px) {
    const { triangles } = this.body;
    const [ox, oy] = [this.x0 + 0.5, this.y0 + 0.5];
    const grid = [];
    for (let t = 0; t < triangles.length; t += 6) {
      const x = (k) => px[2 * triangles[t + k]] - ox;
      const y = (k) => px[2 * triangles[t + k] + 1] - oy;
      const xs = [x(0), x(1), x(2), x(3), x(4), x(5)];
      const ys = [y(0), y(1), y(2), y(3), y(4), y(5)];
      if (Math.max(...xs) < 0 || Math.min(...xs) > this.width) continue;
      if (Math.max(...ys) < 0 || Math.min(...ys) > this.height) continue;
      const side = (a, b) => Math.hypot(xs[b] - xs[a], ys[b] - ys[a]);
      // How far the middles stand off the straight sides: straight triangles need no cutting at all.
      const bulge = (a, b, m) => Math.hypot(xs[m] - 0.5 * (xs[a] + xs[b]), ys[m] - 0.5 * (ys[a] + ys[b]));
      const bend = Math.max(bulge(0, 1, 3), bulge(1, 2, 4), bulge(2, 0, 5));
      const longest = Math.max(side(0, 1), side(1, 2), side(2, 0));
      const cuts = bend < 0.05 ? 1 : Math.min(16, Math.max(2, Math.ceil(longest / PIECE)));
      grid.length = 0;
      for (let j = 0; j <= cuts; j++) {
        for (let i = 0; i <= cuts - j; i++) {
          const [s, u] = [i / cuts, j / cuts];
          const r = 1 - s - u;
          const n = [r * (2 * r - 1), s * (2 * s - 1), u * (2 * u - 1), 4 * r * s, 4 * s * u, 4 * u * r];
          let [gx, gy] = [0, 0];
          for (let k = 0; k < 6; k++) {
            gx += n[k] * xs[k];
            gy += n[k] * ys[k];
          }
          grid.push([gx, gy, s, u]);
        }
      }
      const at = (i, j) => grid[j * (cuts + 1) - (j * (j - 1)) / 2 + i];
      for (let j = 0; j < cuts; j++) {
        for (let i = 0; i < cuts - j; i++) {
          this.#straight(t, at(i, j), at(i + 1, j), at(i, j + 1));
          if (i + j + 2 <= cuts) this.#straight(t, at(i + 1, j), at(i + 1, j + 1), at(i, j + 1));
        }
      }
    }
  }

  #straight(t, a, b, c) {
    const [ax, ay, as, au] = a;
    const [bx, by, bs, bu] = b;
    const [cx, cy, cs, cu] = c;
    const area = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay);
    if (!area) return;
    const left = Math.max(0, Math.ceil(Math.min(ax, bx, cx)));
    const right = Math.min(this.width - 1, Math.floor(Math.max(ax, bx, cx)));
    const top = Math.max(0, Math.ceil(Math.min(ay, by, cy)));
    const bottom = Math.min(this.height - 1, Math.floor(Math.max(ay, by, cy)));
    const d1 = (cy - ay) / area;
    const d2 = -(by - ay) / area;
    for (let y = top; y <= bottom; y++) {
      let b1 = ((left - ax) * (cy - ay) - (cx - ax) * (y - ay)) / area;
      let b2 = ((bx - ax) * (y - ay) - (left - ax) * (by - ay)) / area;
      let k = y * this.width + left;
      for (let x = left; x <= right; x++, b1 += d1, b2 += d2, k++) {
        const b0 = 1 - b1 - b2;
        // A hair of overlap: a pixel centre on a shared side is never left out by rounding.
        if (b0 >= -1e-7 && b1 >= -1e-7 && b2 >= -1e-7) {
          this.owner[k] = t;
          this.where[2 * k] = b0 * as + b1 * bs + b2 * cs;
          this.where[2 * k + 1] = b0 * au + b1 * bu + b2 * cu;
        }
      }
    }
  }

  // Pixels in the order of their triangles, so that six values are fetched once per triangle.
  #sort() {
    const { owner, where } = this;
    const triangles = this.body.triangles.length / 6;
    const start = new Uint32Array(triangles + 1);
    for (let k = 0; k < owner.length; k++) if (owner[k] >= 0) start[owner[k] / 6 + 1]++;
    for (let i = 0; i < triangles; i++) start[i + 1] += start[i];
    const total = start[triangles];
    this.start = start.slice();
    this.pixel = new Uint32Array(total);
    this.s = new Float32Array(total);
    this.u = new Float32Array(total);
    for (let k = 0; k < owner.length; k++) {
      if (owner[k] < 0) continue;
      const i = start[owner[k] / 6]++;
      this.pixel[i] = k;
      this.s[i] = where[2 * k];
      this.u[i] = where[2 * k + 1];
    }
  }

  // A rim of copies around the body, for the edge pixels that the outline cuts.
  #grow() {
    const { owner, width, height } = this;
    const [to, from] = [[], []];
    let edge = [];
    for (let k = 0; k < owner.length; k++) if (owner[k] >= 0) edge.push(k);
    edge = edge.filter((k) => {
      const x = k % width;
      return (
        (x > 0 && owner[k - 1] < 0) || (x < width - 1 && owner[k + 1] < 0) ||
        (k >= width && owner[k - width] < 0) || (k < width * (height - 1) && owner[k + width] < 0)
      );
    });
    for (let ring = 0; ring < MARGIN; ring++) {
      const next = [];
      for (const k of edge) {
        const x = k % width;
        for (const [dx, dy] of [[-1, 0], [1, 0], [0, -1], [0, 1], [-1, -1], [1, -1], [-1, 1], [1, 1]]) {
          const q = k + dx + dy * width;
          if (x + dx < 0 || x + dx >= width || q < 0 || q >= owner.length || owner[q] >= 0) continue;
          owner[q] = 1;
          to.push(q);
          from.push(k);
          next.push(q);
        }
      }
      edge = next;
    }
    this.to = Uint32Array.from(to);
    this.from = Uint32Array.from(from);
  }

  /**
   * Cuts the plan along the true outline: `cover` has how much of each pixel lies inside (canvas pixels of the same size,
   * of which the alpha counts). Kept with the plan, so that a new field needs no clipping.
   */
  cut(cover) {
    const [edge, alpha] = [[], []];
    for (const list of [this.pixel, this.to]) {
      for (let i = 0; i < list.length; i++) {
        const a = cover[4 * list[i] + 3];
        if (a === 255) continue;
        edge.push(list[i]);
        alpha.push(a);
      }
    }
    this.edge = Uint32Array.from(edge);
    this.alpha = Uint8Array.from(alpha);
  }

  /** Nodal values on the pixels of the plan, row by row; NaN outside. */
  sample(values) {
    const { triangles } = this.body;
    const out = new Float32Array(this.width * this.height).fill(NaN);
    for (let i = 0, t = 0; t < triangles.length; i++, t += 6) {
      for (let k = this.start[i]; k < this.start[i + 1]; k++) {
        const [a, b] = [this.s[k], this.u[k]];
        const r = 1 - a - b;
        out[this.pixel[k]] =
          values[triangles[t]] * r * (2 * r - 1) + values[triangles[t + 1]] * a * (2 * a - 1) + values[triangles[t + 2]] * b * (2 * b - 1) +
          4 * (values[triangles[t + 3]] * r * a + values[triangles[t + 4]] * a * b + values[triangles[t + 5]] * b * r);
      }
    }
    return out;
  }

  /** Colours of nodal `values` on the pixels. `span`: what colour.js gives. */
  paint(values, span) {
    const { pixels, pixel, start, s, u } = this;
    const { triangles } = this.body;
    const table = span.scale.packed;
    const last = table.length - 1;
    const gain = last / (span.high - span.low);
    const shift = -span.low * gain + 0.5;
    for (let i = 0, t = 0; t < triangles.length; i++, t += 6) {
      const end = start[i + 1];
      let k = start[i];
      if (k === end) continue;
      const v0 = values[triangles[t]];
      const v1 = values[triangles[t + 1]];
      const v2 = values[triangles[t + 2]];
      const v3 = values[triangles[t + 3]];
      const v4 = values[triangles[t + 4]];
      const v5 = values[triangles[t + 5]];
      for (; k < end; k++) {
        const a = s[k];
        const b = u[k];
        const r = 1 - a - b;
        const v =
          v0 * r * (2 * r - 1) + v1 * a * (2 * a - 1) + v2 * b * (2 * b - 1) + 4 * (v3 * r * a + v4 * a * b + v5 * b * r);
        const c = (v * gain + shift) | 0;
        pixels[pixel[k]] = table[c < 0 ? 0 : c > last ? last : c];
      }
    }
    const { to, from, edge, alpha } = this;
    for (let i = 0; i < to.length; i++) pixels[to[i]] = pixels[from[i]];
    for (let i = 0; i < edge.length; i++) pixels[edge[i]] = (pixels[edge[i]] & 0xffffff) | (alpha[i] << 24);
  }
}

/** How much of each pixel of a plan lies inside a path. */
export function covered(path, plan) {
  const canvas = document.createElement('canvas');
  canvas.width = plan.width;
  canvas.height = plan.height;
  const context = canvas.getContext('2d', { willReadFrequently: true });
  context.translate(-plan.x0, -plan.y0);
  context.fill(path, 'evenodd');
  return context.getImageData(0, 0, plan.width, plan.height).data;
}
