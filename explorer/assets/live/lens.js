// How near one looks at a picture, and at which part of it: shared by the live picture and those of the saved page.

const NEAREST = 24;

export class Lens {
  zoom = 1;
  centre = null;

  /** The view through the lens: `fit` shows everything in the area {x, y, w, h}. */
  view(fit, area) {
    if (!this.centre) return fit;
    const scale = fit.scale * this.zoom;
    return { scale, x: area.x + area.w / 2 - scale * this.centre[0], y: area.y + area.h / 2 + scale * this.centre[1] };
  }

  /** Zooms by a factor; what lies under `at` (on the page) stays there, without it the middle of the area. */
  nearer(factor, fit, area, at) {
    const old = this.view(fit, area);
    const middle = [area.x + area.w / 2, area.y + area.h / 2];
    const [px, py] = at ?? middle;
    const point = [(px - old.x) / old.scale, (old.y - py) / old.scale];
    this.zoom = Math.min(NEAREST, Math.max(1, this.zoom * factor));
    const scale = fit.scale * this.zoom;
    this.centre = this.zoom === 1 ? null : [point[0] - (px - middle[0]) / scale, point[1] + (py - middle[1]) / scale];
  }

  /** Moves the picture by pixels while it is zoomed; its middle stays within the box [x0, y0, x1, y1] in mm. */
  pan(dx, dy, fit, [x0, y0, x1, y1]) {
    if (!this.centre) return;
    const scale = fit.scale * this.zoom;
    this.centre = [
      Math.min(x1, Math.max(x0, this.centre[0] - dx / scale)),
      Math.min(y1, Math.max(y0, this.centre[1] + dy / scale)),
    ];
  }

  /** Shows everything again. */
  fit() {
    this.zoom = 1;
    this.centre = null;
  }
}
