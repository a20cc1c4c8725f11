// The edge-stress ribbon: the stress along the outline, drawn outward from it. Metal cracks at its edges.

import { css, twoSided } from './colour.js';

/**
 * Ribbon of a body: `stress` has three values (start, end, middle) for each edge. Its colours span `high` MPa either way; it
 * is `tall` pixels high where the stress reaches `reach`.
 */
export function drawRibbon(context, body, points, view, stress, high, reach, tall) {
  const { edges } = body;
  const px = (n) => view.x + view.scale * points[2 * n];
  const py = (n) => view.y - view.scale * points[2 * n + 1];
  const height = (mpa) => tall * Math.min(1.2, Math.abs(mpa) / reach);
  const tips = new Path2D();
  for (let e = 0; e < edges.length; e += 3) {
    const [a, b, m] = [edges[e], edges[e + 1], edges[e + 2]];
    // The material is on the left of an edge; on the page, where y runs down, outward is then (-dy, dx).
    const away = (dx, dy) => {
      const l = Math.hypot(dx, dy) || 1;
      return [-dy / l, dx / l];
    };
    const at = [[px(a), py(a)], [px(m), py(m)], [px(b), py(b)]];
    const tangents = [
      [-3 * at[0][0] + 4 * at[1][0] - at[2][0], -3 * at[0][1] + 4 * at[1][1] - at[2][1]],
      [at[2][0] - at[0][0], at[2][1] - at[0][1]],
      [at[0][0] - 4 * at[1][0] + 3 * at[2][0], at[0][1] - 4 * at[1][1] + 3 * at[2][1]],
    ];
    const values = [stress[e], stress[e + 2], stress[e + 1]];
    const tip = at.map((p, i) => {
      const n = away(...tangents[i]);
      const h = height(values[i]);
      return [p[0] + h * n[0], p[1] + h * n[1]];
    });
    for (let i = 0; i < 2; i++) {
      const mean = 0.5 * (values[i] + values[i + 1]);
      context.fillStyle = css(twoSided, 0.5 + (0.5 * mean) / high);
      context.strokeStyle = context.fillStyle;
      context.lineWidth = 0.7;
      context.beginPath();
      context.moveTo(...at[i]);
      context.lineTo(...at[i + 1]);
      context.lineTo(...tip[i + 1]);
      context.lineTo(...tip[i]);
      context.closePath();
      context.fill();
      context.stroke();
      tips.moveTo(...tip[i]);
      tips.lineTo(...tip[i + 1]);
    }
  }
  context.strokeStyle = 'rgba(90, 70, 60, 0.75)';
  context.lineWidth = 1;
  context.stroke(tips);
}
