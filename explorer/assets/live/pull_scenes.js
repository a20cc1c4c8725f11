// The answer to a pull as scenes to draw: one for each step that travelled, all of one mesh.

import { meshOf, unpack } from './answer.js';
import { roundUp, span } from './colour.js';
import { seats } from './seats.js';

/** What nearly all nodes of a step stay below: this part of them. */
const NEARLY_ALL = 0.99;

// A gate turns and moves as a whole.
function carried(points, { hinge, moved, turn }) {
  const [sine, cosine] = [Math.sin(turn), Math.cos(turn)];
  const out = new Float32Array(points.length);
  for (let i = 0; i < points.length; i += 2) {
    const [x, y] = [points[i] - hinge[0], points[i + 1] - hinge[1]];
    out[i] = moved[0] + cosine * x - sine * y - x;
    out[i + 1] = moved[1] + sine * x + cosine * y - y;
  }
  return out;
}

const nearly = (values) => {
  const sorted = Float32Array.from(values).sort();
  return sorted.length ? sorted[Math.floor(NEARLY_ALL * sorted.length)] : 0;
};

// The colours of all steps span the same, or a picture could not be held against the one before. How far strain goes past them is what the
// story tells: beside contacts and sharp corners nodes have more, which is no result.
function spans(scenes, steps, yieldMpa) {
  const [stress, strain] = ['stress', 'strain'].map((field) => Math.max(...scenes.map((s) => nearly(s.bodies.frame[field]))));
  const of = { stress: span(stress, yieldMpa, false), strain: { ...span(1, 0, false), low: 0, high: roundUp(Math.max(strain, 0.1)) } };
  const most = {
    stress: Math.max(...scenes.map((s) => s.bodies.frame.stress.reduce((a, b) => Math.max(a, b), 0))),
    strain: Math.max(0, ...steps.filter((s) => s.plastic_trusted).map((s) => 100 * s.plastic_strain)),
  };
  for (const field of ['stress', 'strain']) of[field].past = [null, most[field] > of[field].high ? most[field] : null];
  return of;
}

/** The bounds of all steps as they are drawn, so that the view stands still: [x0, y0, x1, y1], mm. */
function boundsOf(scenes) {
  const out = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { bodies, gone } of scenes) {
    for (const { points, moves } of gone ? [bodies.frame] : [bodies.frame, bodies.gate]) {
      for (let i = 0; i < points.length; i++) {
        const [at, k] = [points[i] + moves[i], i % 2];
        out[k] = Math.min(out[k], at);
        out[k + 2] = Math.max(out[k + 2], at);
      }
    }
  }
  return out;
}

let pulls = 0;

/** `{ head, steps, scenes, spans, box, curve, hook }`; `steps`: what is said of each step, numbers and words. */
export function pullOf(buffer) {
  const answer = unpack(buffer);
  const { head, blocks } = answer;
  const mesh = meshOf(answer);
  const of = (pulls += 1);
  const still = new Float32Array(mesh.gate.points.length);
  const seated = seats(mesh.frame);
  const scenes = head.shown.map(({ gate }, i) => {
    const block = (name) => blocks[`steps.${i}.${name}`];
    const frame = { ...mesh.frame, moves: block('u'), stress: block('von_mises'), strain: block('plastic_strain').map((part) => 100 * part) };
    return {
      mesh: `pull ${of}`, answer: i, places: mesh.places, head, pins: head.pins, seats: seated, along: head.axis.direction,
      gone: !gate, bodies: { frame, gate: { ...mesh.gate, moves: gate ? carried(mesh.gate.points, gate) : still } },
    };
  });
  const numbers = [...head.pull.steps, ...(head.pull.hook?.steps ?? [])];
  const steps = head.shown.map((shown, i) => ({ ...numbers[i], ...shown, isHook: shown.branch === 'hook' }));
  return { head, steps, scenes, spans: spans(scenes, steps, head.yield_mpa.frame), box: boundsOf(scenes), curve: blocks.curve, hook: blocks.hook };
}
