// Seeing a photo square on: four corners of a rectangle of known size give the perspective, and it is taken out.

/** The eight numbers of the projective map that takes four points to four others (Gauss, pivoted). */
export function projection(from, to) {
  const rows = [];
  for (let i = 0; i < 4; i++) {
    const [[x, y], [u, v]] = [from[i], to[i]];
    rows.push([x, y, 1, 0, 0, 0, -u * x, -u * y, u], [0, 0, 0, x, y, 1, -v * x, -v * y, v]);
  }
  for (let c = 0; c < 8; c++) {
    let best = c;
    for (let r = c + 1; r < 8; r++) if (Math.abs(rows[r][c]) > Math.abs(rows[best][c])) best = r;
    if (Math.abs(rows[best][c]) < 1e-12) return null;
    [rows[c], rows[best]] = [rows[best], rows[c]];
    for (let r = 0; r < 8; r++) {
      if (r === c) continue;
      const k = rows[r][c] / rows[c][c];
      for (let j = c; j < 9; j++) rows[r][j] -= k * rows[c][j];
    }
  }
  return rows.map((row, i) => row[8] / row[i]);
}

/** A point through a projective map. */
export function project(h, [x, y]) {
  const w = h[6] * x + h[7] * y + 1;
  return [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w];
}

// Corners in the order upper left, upper right, lower right, lower left, however they were clicked.
function inOrder(points) {
  const [cx, cy] = [0, 1].map((k) => points.reduce((s, p) => s + p[k], 0) / 4);
  const round = [...points].sort((a, b) => Math.atan2(a[1] - cy, a[0] - cx) - Math.atan2(b[1] - cy, b[0] - cx));
  return round;
}

/**
 * The photo seen square on: `{ canvas, scale }`, scale in pixels per mm. `corners`: of a rectangle `wide` by `tall` mm in
 * the connector's plane. Null when the corners are no rectangle at all.
 */
export function squareOn(photo, corners, wide, tall) {
  const ordered = inOrder(corners);
  const rectangle = [[0, 0], [wide, 0], [wide, tall], [0, tall]];
  const toPlane = projection(ordered, rectangle);
  if (!toPlane) return null;
  const size = [photo.width, photo.height];
  const edges = [[0, 0], [size[0], 0], size, [0, size[1]]].map((p) => project(toPlane, p));
  // What lies far outside of the rectangle is mostly blur: three times its size is enough.
  const clamp = (v, low, high) => Math.min(high, Math.max(low, v));
  const x0 = clamp(Math.min(...edges.map((p) => p[0])), -1.5 * wide - tall, 0);
  const x1 = clamp(Math.max(...edges.map((p) => p[0])), wide, 2.5 * wide + tall);
  const y0 = clamp(Math.min(...edges.map((p) => p[1])), -1.5 * tall - wide, 0);
  const y1 = clamp(Math.max(...edges.map((p) => p[1])), tall, 2.5 * tall + wide);
  const scale = Math.min(1600 / (x1 - x0), 1600 / (y1 - y0));
  const back = projection(rectangle, ordered);
  const source = photo.getContext('2d').getImageData(0, 0, ...size);
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round((x1 - x0) * scale));
  canvas.height = Math.max(1, Math.round((y1 - y0) * scale));
  const context = canvas.getContext('2d');
  const out = context.createImageData(canvas.width, canvas.height);
  for (let j = 0; j < canvas.height; j++) {
    for (let i = 0; i < canvas.width; i++) {
      const [x, y] = project(back, [x0 + (i + 0.5) / scale, y0 + (j + 0.5) / scale]);
      const [c, r] = [Math.floor(x - 0.5), Math.floor(y - 0.5)];
      if (c < 0 || r < 0 || c + 1 >= size[0] || r + 1 >= size[1]) continue;
      const [fx, fy] = [x - 0.5 - c, y - 0.5 - r];
      const k = 4 * (r * size[0] + c);
      const below = k + 4 * size[0];
      for (let b = 0; b < 3; b++) {
        out.data[4 * (j * canvas.width + i) + b] =
          (1 - fy) * ((1 - fx) * source.data[k + b] + fx * source.data[k + 4 + b]) +
          fy * ((1 - fx) * source.data[below + b] + fx * source.data[below + 4 + b]);
      }
      out.data[4 * (j * canvas.width + i) + 3] = 255;
    }
  }
  context.putImageData(out, 0, 0);
  return { canvas, scale };
}
