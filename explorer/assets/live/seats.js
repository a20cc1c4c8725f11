// Where straps and bench bars rest: the inner edges of the two bars, found on the mesh itself.
//
// For a fine row of x the first edge of the frame above (or below) the middle of the window is kept together with the
// two nodes between which it lies, so that a strap follows a deformed bar without being found again.

const STEP = 0.25;

/** `{ x0, step, y, a, b, f }` of the upper (sign 1) or lower (sign -1) seat; y is NaN where there is none. */
function seat(points, loop, sign) {
  let [low, high] = [Infinity, -Infinity];
  for (const n of loop) {
    low = Math.min(low, points[2 * n]);
    high = Math.max(high, points[2 * n]);
  }
  const count = Math.floor((high - low) / STEP) + 1;
  const out = { x0: low, y: new Float32Array(count).fill(NaN), a: new Uint32Array(count), b: new Uint32Array(count), f: new Float32Array(count) };
  for (let i = 0; i < loop.length; i++) {
    const [a, b] = [loop[i], loop[(i + 1) % loop.length]];
    const [ax, ay, bx, by] = [points[2 * a], points[2 * a + 1], points[2 * b], points[2 * b + 1]];
    const from = Math.max(0, Math.ceil((Math.min(ax, bx) - low) / STEP));
    const to = Math.min(count - 1, Math.floor((Math.max(ax, bx) - low) / STEP));
    for (let k = from; k <= to; k++) {
      const f = bx === ax ? 0 : (low + k * STEP - ax) / (bx - ax);
      const y = ay + f * (by - ay);
      if (y * sign <= 0 || (y - out.y[k]) * sign >= 0) continue;
      out.y[k] = y;
      out.a[k] = a;
      out.b[k] = b;
      out.f[k] = f;
    }
  }
  return out;
}

/** Both seats of a frame. */
export function seats(frame) {
  return { upper: seat(frame.points, frame.loops[0], 1), lower: seat(frame.points, frame.loops[0], -1) };
}

/** Point of a seat at x, by the nodes' drawn places. */
export function seatPoint(seat, points, x) {
  const k = Math.round((x - seat.x0) / STEP);
  const at = Math.min(seat.y.length - 1, Math.max(0, k));
  if (Number.isNaN(seat.y[at])) return null;
  const [a, b, f] = [seat.a[at], seat.b[at], seat.f[at]];
  const left = x - (seat.x0 + at * STEP);
  return [
    points[2 * a] + f * (points[2 * b] - points[2 * a]) + left,
    points[2 * a + 1] + f * (points[2 * b + 1] - points[2 * a + 1]),
  ];
}

/** The edge under a strap, left to right. */
export function seatEdge(seat, points, centre, width) {
  const edge = [];
  const n = Math.max(8, Math.ceil(width / (2 * STEP)));
  for (let i = 0; i <= n; i++) {
    const p = seatPoint(seat, points, centre - width / 2 + (width * i) / n);
    if (p) edge.push(p);
  }
  return edge;
}

/** Centre of a bench bar that touches its seat at the given x from inside the window. */
export function barCentre(seat, points, x, radius, sign) {
  let y = Infinity;
  for (let i = -16; i <= 16; i++) {
    const d = (radius * i) / 16;
    const p = seatPoint(seat, points, x + d);
    if (p) y = Math.min(y, sign * p[1] - Math.sqrt(Math.max(0, radius * radius - d * d)));
  }
  return Number.isFinite(y) ? [x, sign * y] : null;
}
