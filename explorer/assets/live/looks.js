// How a scene is looked at: which field, which range of colours, trajectories or ribbon. Live, kept and saved pictures share it.

import { extremes, nearlyAll } from './answer.js';
import { span } from './colour.js';
import { drawRibbon } from './ribbon.js';
import { strongestFlow, trajectoryPath } from './trajectories.js';

/** Height of the ribbon where nearly all of the edge's stress is reached, mm. */
const RIBBON_MM = 7;

/** Fields that /api/solve must bring for a way of looking. */
export function wantedFields({ field, ribbon }) {
  const wanted = [];
  if (field === 'pull') wanted.push('pull');
  if (field === 'trajectories') wanted.push('principal');
  if (ribbon) wanted.push('ribbon');
  return wanted;
}

/** Whether a scene has what a way of looking needs. */
export function hasFields(scene, view) {
  return wantedFields(view).every((name) => scene.bodies.frame[name]);
}

/**
 * The range of the colours of a scene, at least up to `least`: that of a picture beside it, perhaps of another metal; and how far
 * its stresses go past the ends: `past` has null where they do not.
 */
export function spanOf(scene, field, least = 0) {
  // Until a field has arrived the stress is shown.
  const signed = field === 'pull' && Boolean(scene.bodies.frame.pull);
  const shown = signed ? 'pull' : 'mises';
  const own = span(nearlyAll(scene, shown), scene.head.yield_mpa.frame, signed);
  const range = least > own.high ? { ...own, low: signed ? -least : 0, high: least } : own;
  const [lowest, highest] = extremes(scene, shown);
  // What rounds to the end itself is not past it.
  const past = [Math.round(lowest) < Math.round(range.low) ? lowest : null, Math.round(highest) > Math.round(range.high) ? highest : null];
  return { ...range, past };
}

/** What every drawing of a scene is given, live, kept or saved. */
export function drawingOptions(scene, look, { field, ribbon, enlarged }, colours) {
  const name = field === 'pull' && scene.bodies.frame.pull ? 'pull' : 'mises';
  const { frame, gate } = scene.bodies;
  const options = {
    look,
    span: colours,
    values: { frame: frame[name], gate: gate[name] },
    open: !scene.head.gate_carries,
    enlarged,
  };
  const shown = options.open ? [frame] : [frame, gate];
  if (field === 'trajectories' && frame.principal) {
    const strongest = (scene.strongest ??= strongestFlow(shown));
    options.trajectories = (context, which, kept) => {
      kept.trajectories ??= {};
      if (kept.trajectories.answer !== scene.answer) kept.trajectories = { answer: scene.answer };
      kept.trajectories[which] ??= trajectoryPath(scene.bodies[which], kept.drawn[which], options.view, options.size, strongest);
      context.fillStyle = which === 'gate' ? look.accent : look.ink;
      context.fill(kept.trajectories[which]);
    };
  }
  if (ribbon && frame.ribbon) {
    options.under = (context, where) => {
      // As tall as the room around the connector allows, whatever the colours span.
      const [high, reach] = [Math.max(colours.high, 1), Math.max(nearlyAll(scene, 'ribbon'), 1)];
      for (const body of ['frame', ...(options.open ? [] : ['gate'])]) {
        drawRibbon(context, scene.bodies[body], where.drawn[body], options.view, scene.bodies[body].ribbon, high, reach, RIBBON_MM * options.view.scale);
      }
    };
  }
  return options;
}

/** Both ends as they are drawn, from an answer and what the hand has already moved. */
export function rigOf(head, set = {}) {
  const end = (name) => {
    const e = { ...head[name] };
    for (const key of ['offset_mm', 'width_mm', 'diameter_mm']) {
      const moved = set[`rig.${name}.${key}`];
      if (typeof moved === 'number' && e[key] !== undefined) e[key] = moved;
    }
    return e;
  };
  return { upper: end('upper'), lower: end('lower') };
}
