// The points of the outline that a hand can take, each bound to one measure of the connector.

const K = 1 - Math.SQRT1_2;

/**
 * `{ key, label, at, along }`: where the point lies (mm) and how it moves when the measure grows by 1 mm. `used`: the
 * numbers of the last solve; `pins`: nose pin and hinge pin; `given(key)`: whether the state says that measure itself.
 */
export function fitPoints(used, pins, given = () => true) {
  const u = (key) => used[key];
  const [L, W, V] = [u('window.inside_length_mm'), u('window.upper_width_mm'), u('window.lower_width_mm')];
  const radius = [].concat(u('window.corner_radius_mm'));
  const round = radius.length === 1 || radius.every((r) => r === radius[0]);
  // The spine's side is upright; the origin is the middle of the window at mid height.
  const left = -0.25 * (W + V);
  // A lower width that nobody gave grows with the upper one, and the middle stays the middle.
  const widens = given('window.lower_width_mm') ? 0.75 : 0.5;
  const points = [
    ['window.inside_length_mm', 'inside length', [left + 0.3 * W, L / 2], [0, 0.5]],
    ['window.upper_width_mm', 'upper width', [left + W, L / 2 - Math.max(...radius)], [widens, 0]],
    ['window.lower_width_mm', 'lower width', [left + V, -L / 2 + Math.max(...radius)], [0.75, 0]],
    ['section.spine.depth_mm', 'depth of the spine', [left - u('section.spine.depth_mm'), 0], [-1, 0]],
    ['section.upper.depth_mm', 'depth of the upper bar', [left + 0.4 * W, L / 2 + u('section.upper.depth_mm')], [0, 1]],
    ['section.lower.depth_mm', 'depth of the lower bar', [left + 0.4 * V, -L / 2 - u('section.lower.depth_mm')], [0, -1]],
    ['nose.tip_mm', 'tip of the nose', [left + W + 0.6 * u('section.upper.depth_mm'), L / 2 - u('nose.tip_mm')], [0, -1]],
    ['nose.notch_depth_mm', 'notch depth', [left + W + u('nose.notch_depth_mm'), pins[0].centre[1]], [1, 0]],
    ['hinge.height_mm', 'height of the hinge pin', pins[1].centre, [0, 1]],
    ['gate.width_mm', 'width of the gate', [0.5 * (pins[0].centre[0] + pins[1].centre[0]) + u('gate.width_mm') / 2, 0.5 * (pins[0].centre[1] + pins[1].centre[1])], [0.5, 0]],
  ];
  if (round) points.splice(3, 0, ['window.corner_radius_mm', 'corner radius', [left + K * radius[0], L / 2 - K * radius[0]], [K, -K]]);
  return points
    .filter(([key, , at]) => (Array.isArray(u(key)) || Number.isFinite(u(key))) && at.every(Number.isFinite))
    .map(([key, label, at, along]) => ({ key, label, at, along, value: [].concat(u(key))[0] }));
}
