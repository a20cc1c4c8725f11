// From millimetres of the plane to pixels of the page and back.

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
