// Marks and words over the live picture: the hottest places, the key of trajectories.

import { movedPoint } from './drawing.js';
import { trajectoryKey } from './trajectories.js';
import { toPage } from './view.js';
import { hottest } from './words.js';

/** The hottest places, numbered as in the list beside the picture; `marked`: the one that is pointed at there. */
export function drawPlaces(context, scene, view, { look, enlarged, rem, family, marked }) {
  hottest(scene.head).forEach((peak, i) => {
    const [x, y] = toPage(view, movedPoint(scene.bodies, [peak.x_mm, peak.y_mm], enlarged));
    context.beginPath();
    context.arc(x, y, 0.62 * rem, 0, 2 * Math.PI);
    context.fillStyle = marked === i ? look.accent : '#fdf9f0';
    context.fill();
    context.strokeStyle = '#1c2831';
    context.lineWidth = 2;
    context.stroke();
    context.fillStyle = marked === i ? look.paper : '#1c2831';
    context.font = `700 ${0.82 * rem}px ${family}`;
    context.textAlign = 'center';
    context.textBaseline = 'middle';
    context.fillText(String(i + 1), x, y + 0.5);
    if (marked === i) {
      context.beginPath();
      context.arc(x, y, 1.05 * rem, 0, 2 * Math.PI);
      context.strokeStyle = look.accent;
      context.lineWidth = 3;
      context.stroke();
    }
  });
}

/** What a trajectory of some thickness carries. */
export function drawTrajectoryKey(context, strongest, scale, area, { rem, family }) {
  context.textAlign = 'right';
  context.font = `600 ${0.85 * rem}px ${family}`;
  context.fillText('force in', area.x + area.w, area.y - 1.65 * rem);
  context.fillText('a trajectory', area.x + area.w, area.y - 0.55 * rem);
  context.font = `400 ${0.9 * rem}px ${family}`;
  trajectoryKey(strongest, scale).forEach(({ kn, thick }, i) => {
    const y = area.y + (1.2 + 2.9 * i) * rem;
    context.fillRect(area.x + area.w - 4.4 * rem, y, 4.4 * rem, thick);
    context.fillText(`${Number(kn.toPrecision(2))} kN`, area.x + area.w, y + thick + 0.95 * rem);
  });
}
