// An answer of the solver as the page uses it: a scene. The bytes are those of /api/solve (and of the saved page).

/** Views on the blocks, nothing is copied: `{ head, blocks }`. */
export function unpack(buffer) {
  const bytes = new DataView(buffer);
  if (bytes.byteLength < 16 || bytes.getUint32(0, false) !== 0x504d4150) throw new Error('not an answer of pullmap');
  if (bytes.getUint16(4, true) !== 2) throw new Error('an answer of another version; load the page again');
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
function bending(points, moves) {
  const [at, by] = [points.frame, moves.frame];
  const n = at.length / 2;
  let [cx, cy, tx, ty] = [0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    cx += at[2 * i] / n;
    cy += at[2 * i + 1] / n;
    tx += by[2 * i] / n;
    ty += by[2 * i + 1] / n;
  }
  let [turn, size] = [0, 0];
  for (let i = 0; i < n; i++) {
    const [x, y] = [at[2 * i] - cx, at[2 * i + 1] - cy];
    turn += x * (by[2 * i + 1] - ty) - y * (by[2 * i] - tx);
    size += x * x + y * y;
  }
  turn /= size || 1;
  const without = (name) => {
    const [p, out] = [points[name], moves[name].slice()];
    for (let i = 0; i < out.length; i += 2) {
      out[i] += turn * (p[i + 1] - cy) - tx;
      out[i + 1] -= turn * (p[i] - cx) + ty;
    }
    return out;
  };
  return { frame: without('frame'), gate: without('gate') };
}

let answers = 0;

/** A scene to draw: mesh, fields, rig. `mesh`: of this geometry, from `meshOf`. */
export function sceneOf({ head, blocks }, mesh) {
  // Worked out when the bent shape is first asked for: most answers are drawn as they are.
  let bent = null;
  const moves = (name) => {
    bent ??= bending({ frame: mesh.frame.points, gate: mesh.gate.points }, { frame: blocks['frame.u'], gate: blocks['gate.u'] });
    return bent[name];
  };
  const body = (name) => ({
    ...mesh[name],
    get moves() {
      return moves(name);
    },
    mises: blocks[`${name}.von_mises`],
    pull: blocks[`${name}.pull`],
    principal: blocks[`${name}.principal`],
    ribbon: blocks[`${name}.ribbon`],
  });
  const bodies = { frame: body('frame'), gate: body('gate') };
  return { mesh: mesh.id, answer: ++answers, places: mesh.places, head, bodies, pins: head.pins };
}

/** The k-th smallest of the first `count` values, which change their order (Hoare). */
function smallest(values, count, k) {
  let [low, high] = [0, count - 1];
  while (low < high) {
    const pivot = values[(low + high) >> 1];
    let [i, j] = [low, high];
    while (i <= j) {
      while (values[i] < pivot) i++;
      while (values[j] > pivot) j--;
      if (i > j) break;
      const v = values[i];
      values[i++] = values[j];
      values[j--] = v;
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return values[k];
}

let room = new Float32Array(0);

/** The stress that nearly all nodes stay below: contact points may be far above. */
export function nearlyAll(scene, field) {
  const kept = (scene.nearly ??= {});
  if (field in kept) return kept[field];
  const bodies = scene.head.gate_carries ? ['frame', 'gate'] : ['frame'];
  const count = bodies.reduce((n, name) => n + scene.bodies[name][field].length, 0);
  if (room.length < count) room = new Float32Array(count);
  let n = 0;
  for (const name of bodies) {
    for (const v of scene.bodies[name][field]) room[n++] = v < 0 ? -v : v;
  }
  return (kept[field] = count ? smallest(room, count, Math.min(count - 1, Math.floor(0.985 * count))) : 0);
}

/** The lowest and the highest value of a field. */
export function extremes(scene, field) {
  const kept = (scene.extremes ??= {});
  if (field in kept) return kept[field];
  let [least, highest] = [Infinity, -Infinity];
  for (const name of scene.head.gate_carries ? ['frame', 'gate'] : ['frame']) {
    for (const v of scene.bodies[name][field]) {
      if (v < least) least = v;
      if (v > highest) highest = v;
    }
  }
  return (kept[field] = [least, highest]);
}
