// An answer of the solver as the page uses it: a scene. The bytes are those of /api/solve (and of the saved page).

/** Views on the blocks, nothing is copied: `{ head, blocks }`. */
export function unpack(buffer) {
  const bytes = new DataView(buffer);
  if (bytes.byteLength < 16 || bytes.getUint32(0, false) !== 0x504d4150) throw new Error('not an answer of pullmap');
  if (bytes.getUint16(4, true) !== 1) throw new Error('an answer of another version; load the page again');
  const length = bytes.getUint32(8, true);
  const start = bytes.getUint32(12, true);
  const head = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 16, length)));
  const blocks = {};
  for (const { name, type, offset, shape } of head.blocks) {
    const count = shape.reduce((a, b) => a * b, 1);
    blocks[name] = type === 'u32' ? new Uint32Array(buffer, start + offset, count) : new Float32Array(buffer, start + offset, count);
  }
  return { head, blocks };
}

// Loops of the outline: corner and middle nodes by turns.
function loopsOf(edges) {
  const loops = [];
  let loop = [];
  for (let i = 0; i < edges.length; i += 3) {
    if (i > 0 && edges[i] !== edges[i - 2]) {
      loops.push(Uint32Array.from(loop));
      loop = [];
    }
    loop.push(edges[i], edges[i + 2]);
  }
  if (loop.length) loops.push(Uint32Array.from(loop));
  return loops.sort((p, q) => q.length - p.length);
}

/** What does not change with the rig. */
export function meshOf({ head, blocks }) {
  const body = (name) => ({
    points: blocks[`${name}.points`],
    triangles: blocks[`${name}.triangles`],
    edges: blocks[`${name}.edges`],
    stretch: blocks[`${name}.stretch`],
    place: blocks[`${name}.place`],
    breadth: blocks[`${name}.breadth`],
    loops: loopsOf(blocks[`${name}.edges`]),
  });
  return { id: head.mesh_id, places: head.places, stretches: head.stretches, frame: body('frame'), gate: body('gate') };
}

/**
 * Displacements without the swing of the whole connector (mean motion and rotation of the frame): enlarged, it would carry
 * the bent shape out of sight. Frame and gate lose the same motion.
 */
function bending(frame, gate) {
  const { points, moves } = frame;
  const n = points.length / 2;
  let [cx, cy, tx, ty] = [0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    cx += points[2 * i] / n;
    cy += points[2 * i + 1] / n;
    tx += moves[2 * i] / n;
    ty += moves[2 * i + 1] / n;
  }
  let [turn, size] = [0, 0];
  for (let i = 0; i < n; i++) {
    const [x, y] = [points[2 * i] - cx, points[2 * i + 1] - cy];
    turn += x * (moves[2 * i + 1] - ty) - y * (moves[2 * i] - tx);
    size += x * x + y * y;
  }
  turn /= size || 1;
  const without = (body) => body.moves.map((u, i) => (i % 2 === 0 ? u - tx + turn * (body.points[i + 1] - cy) : u - ty - turn * (body.points[i - 1] - cx)));
  return [without(frame), without(gate)];
}

let answers = 0;

/** A scene to draw: mesh, fields, rig. `mesh`: of this geometry, from `meshOf`. */
export function sceneOf({ head, blocks }, mesh) {
  const body = (name) => ({
    ...mesh[name],
    moves: blocks[`${name}.u`],
    mises: blocks[`${name}.von_mises`],
    pull: blocks[`${name}.pull`],
    principal: blocks[`${name}.principal`],
    ribbon: blocks[`${name}.ribbon`],
  });
  const bodies = { frame: body('frame'), gate: body('gate') };
  [bodies.frame.moves, bodies.gate.moves] = bending(bodies.frame, bodies.gate);
  return { mesh: mesh.id, answer: ++answers, places: mesh.places, head, bodies, pins: head.pins };
}

const sorted = (values) => Float32Array.from(values).sort();

/** The stress that nearly all nodes stay below: contact points may be far above. */
export function nearlyAll(scene, field) {
  const sizes = [];
  for (const name of scene.head.gate_carries ? ['frame', 'gate'] : ['frame']) {
    for (const v of scene.bodies[name][field]) sizes.push(Math.abs(v));
  }
  const all = sorted(sizes);
  return all.length ? all[Math.min(all.length - 1, Math.floor(0.985 * all.length))] : 0;
}
