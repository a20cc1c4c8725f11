// A photo is laid under the outline and the outline is fitted to it, as a hand does it. The photo is drawn here from a
// connector that is known, at a scale that is known; what the hand finds must be that connector to half a millimetre.

import assert from 'node:assert/strict';
import test from 'node:test';
import { fitPoints } from '../../explorer/assets/live/fit_points.js';
import { Visit, alike } from './bench.mjs';

const MODEL = 'broadbar-alu';
/** The connector on the photo, as measured with a caliper by whoever photographed it. */
const KNOWN = {
  'window.inside_length_mm': 66.4, 'window.upper_width_mm': 52.3, 'section.spine.depth_mm': 12.6, 'section.upper.depth_mm': 13.1,
  'section.lower.depth_mm': 12.3, 'nose.notch_depth_mm': 5.1, 'gate.width_mm': 9.4,
};
const CLOSE_MM = 0.5;

/** Outline, numbers and pins of a state from the program: what lies on the bench in front of the camera. */
async function connector(address, set) {
  const response = await fetch(`${address}api/solve`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ version: 2, session: 'photobench', ticket: Date.now(), state: { model: MODEL, set }, want: { quick: true } }),
  });
  const bytes = await response.arrayBuffer();
  assert.equal(response.status, 200, response.status === 200 ? '' : new TextDecoder().decode(bytes));
  const view = new DataView(bytes);
  const head = JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 16, view.getUint32(8, true))));
  const block = (name) => {
    const { type, offset, shape } = head.blocks.find((b) => b.name === name);
    return new { f32: Float32Array, u32: Uint32Array }[type](bytes, view.getUint32(12, true) + offset, shape[0] * (shape[1] ?? 1));
  };
  const bodies = ['frame', 'gate'].map((name) => {
    const [points, edges] = [block(`${name}.points`), block(`${name}.edges`)];
    const loops = [];
    for (let i = 0; i < edges.length; i += 3) {
      if (i === 0 || edges[i] !== edges[i - 2]) loops.push([]);
      for (const n of [edges[i], edges[i + 2]]) loops.at(-1).push([points[2 * n], points[2 * n + 1]]);
    }
    return loops;
  });
  return { bodies, used: head.used, pins: head.pins };
}

/** Where a point of the bench (mm) comes to lie on the photo (pixels): turned, and beside the middle. */
const camera = ({ scale, turn, at }) => ([x, y]) => {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return [at[0] + scale * (c * x + s * y), at[1] + scale * (s * x - c * y)];
};

/** Draws a photo in the browser, which has all that it takes. `onto`: millimetres to pixels. */
async function photograph(page, { bodies }, onto, [width, height], extras = []) {
  const lines = (loops) => loops.map((loop) => loop.map(onto));
  return Buffer.from(await page.evaluate(([shapes, marks, w, h]) => {
    const canvas = Object.assign(document.createElement('canvas'), { width: w, height: h });
    const context = canvas.getContext('2d');
    context.fillStyle = '#c9b79b';
    context.fillRect(0, 0, w, h);
    const trace = (loops) => {
      context.beginPath();
      for (const loop of loops) {
        loop.forEach((p, i) => context[i ? 'lineTo' : 'moveTo'](...p));
        context.closePath();
      }
    };
    shapes.forEach((loops, i) => {
      context.fillStyle = i ? '#6f7a80' : '#8d979d';
      trace(loops);
      context.fill('evenodd');
    });
    for (const mark of marks) {
      context.fillStyle = '#a3102a';
      trace([mark]);
      context.fill('evenodd');
    }
    return canvas.toDataURL('image/png').split(',')[1];
  }, [bodies.map(lines), lines(extras), width, height]), 'base64');
}

/** Page pixels of a pixel of the photo: it lies in the middle of its table, as large as fits, turned back. */
async function table(page, [width, height], turn = 0) {
  return page.locator('#photo-table').evaluate((home, [w, h, angle]) => {
    const box = home.getBoundingClientRect();
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    const [W, H] = [home.clientWidth, home.clientHeight];
    const k = Math.min(W / (Math.abs(c) * w + Math.abs(s) * h), H / (Math.abs(s) * w + Math.abs(c) * h));
    return { x: box.x + home.clientLeft + W / 2, y: box.y + home.clientTop + H / 2, k, c, s };
  }, [width, height, turn]).then(({ x, y, k, c, s }) => ([px, py]) => {
    const [dx, dy] = [px - width / 2, py - height / 2];
    // A hand points at whole pixels.
    return [x + k * (c * dx - s * dy), y + k * (s * dx + c * dy)].map(Math.round);
  });
}

/**
 * Millimetres to pixels of the page on a straightened photo, by the card on it as an eye finds it: the red of its rim, and
 * nothing of what the page knows.
 */
async function byCard(page, card) {
  const seen = await page.locator('#photo-canvas').evaluate((canvas) => {
    const { width, height } = canvas;
    const own = new OffscreenCanvas(width, height).getContext('2d', { willReadFrequently: true });
    own.drawImage(canvas, 0, 0);
    const { data } = own.getImageData(0, 0, width, height);
    const red = (k) => data[k] > 110 && data[k + 1] < 60 && data[k + 2] < 90;
    // The middle row and column cross the rim twice each; its outer edges are where red begins and ends.
    const ends = (count, at) => {
      const on = [...Array(count).keys()].filter((i) => red(4 * at(i)));
      return [on[0], on.at(-1) + 1];
    };
    const columns = ends(width, (i) => Math.floor(0.7 * height) * width + i);
    const rows = ends(height, (i) => i * width + Math.floor((columns[0] + columns[1]) / 2 - 0.35 * (columns[1] - columns[0])));
    const box = canvas.getBoundingClientRect();
    return { x: columns.map((v) => box.x + (v * box.width) / width), y: rows.map((v) => box.y + (v * box.height) / height) };
  });
  const [[x0, y0], , [x1, y1]] = card;
  return ([x, y]) => [
    seen.x[0] + ((x - x0) / (x1 - x0)) * (seen.x[1] - seen.x[0]),
    seen.y[0] + ((y - y0) / (y1 - y0)) * (seen.y[1] - seen.y[0]),
  ].map(Math.round);
}

/** Drags the outline into place and then each of its points onto its place on the photo. */
async function fit(visit, target, place) {
  const { page } = visit;
  await page.locator('#photo-table').scrollIntoViewIfNeeded();
  const start = await page.locator('#photo-table').evaluate((home) => {
    const box = home.getBoundingClientRect();
    return [box.x + home.clientLeft + home.clientWidth / 2, box.y + home.clientTop + home.clientHeight / 2];
  });
  // The outline's own middle starts in the middle of the table; taken in the window, where no point is in the way.
  const goal = (await place())([0, 0]);
  const grip = [start[0] + 21, start[1] + 13];
  await visit.drag(grip, [grip[0] + goal[0] - start[0], grip[1] + goal[1] - start[1]]);
  // One measure moves the points of others: a second round sets right what the first one shifted.
  for (let round = 0; round < 2; round++) {
    for (const key of Object.keys(KNOWN)) {
      const there = fitPoints(target.used, target.pins).find((p) => p.key === key);
      const handle = page.locator(`[data-key="${key}"].fit`);
      const from = await handle.evaluate((element) => {
        const box = element.getBoundingClientRect();
        return [box.x + box.width / 2, box.y + box.height / 2];
      });
      // Looked at anew each time, as a hand does: what stands above may have grown by a line.
      const to = (await place())(there.at);
      if (Math.hypot(to[0] - from[0], to[1] - from[1]) < 1) continue;
      await visit.drag(from, to, 4);
      await visit.settled();
    }
  }
}

/** Asserts that what the hand found is the connector on the photo; the largest error, mm. */
async function near(visit, address, target) {
  const { used } = await connector(address, visit.state().set);
  const off = Object.keys(KNOWN).map((key) => [key, used[key] - target.used[key]]);
  assert.ok(off.every(([, mm]) => Math.abs(mm) <= CLOSE_MM), off.map(([key, mm]) => `${key} is off by ${mm.toFixed(2)} mm`).join('; '));
  return Math.max(...off.map(([, mm]) => Math.abs(mm)));
}

export function photo(bench) {
  test('a connector is fitted over a photo of it', alike, async (t) => {
    // A pixel of the screen is what a hand can aim at: on this one it is worth some 0.15 mm.
    const visit = await Visit.open(bench.browser, bench.address, { viewport: { width: 2200, height: 1500 } });
    const { page } = visit;
    const target = await connector(bench.address, KNOWN);
    const size = [1600, 1400];
    // The camera was held askew: 8 degrees.
    const turn = (8 * Math.PI) / 180;
    const onto = camera({ scale: 9.3, turn, at: [760, 720] });
    const ruler = [[-70, -58], [30, -58], [30, -62], [-70, -62]];
    const picture = await photograph(page, target, onto, size, [ruler]);
    await page.setInputFiles('#photo-file', { name: 'bench.png', mimeType: 'image/png', buffer: picture });
    await page.locator('#photo-table.full').waitFor();
    await page.locator('#photo-turn').fill('-8');
    await page.locator('#photo-table').scrollIntoViewIfNeeded();
    const onPhoto = await table(page, size, -turn);
    await page.locator('#photo-known').fill('100');
    await page.locator('#photo-scale').click();
    for (const end of ruler.slice(0, 2)) await page.mouse.click(...onPhoto(onto(end)));
    assert.match(await visit.text('#photo-desk [role="status"]'), /scale is set/);
    await page.locator('#photo-table').scrollIntoViewIfNeeded();
    await fit(visit, target, async () => {
      const at = await table(page, size, -turn);
      return (mm) => at(onto(mm));
    });
    t.diagnostic(`largest error: ${(await near(visit, bench.address, target)).toFixed(2)} mm`);
    await visit.showsTheShare();
    // What was not fitted may stay unknown; the forecast then has ranges.
    await page.locator('#photo-unknown').click();
    await visit.settled();
    assert.match(await visit.text('#photo-desk [role="status"]'), /unknown within/);
    await visit.accessible('with a photo on the table');
    // The photo never leaves the browser.
    assert.ok(visit.posted.every((body) => body.length < 20000), 'no request is as long as a photo');
    await visit.end();
  });

  test('a photo that is not square on is straightened by four corners, and fitted', async (t) => {
    const visit = await Visit.open(bench.browser, bench.address, { viewport: { width: 2200, height: 1500 } });
    const { page } = visit;
    const target = await connector(bench.address, KNOWN);
    const size = [1800, 1500];
    // A camera that looks down at a slant and from the side: what is farther away is smaller, and nothing is square.
    const onto = ([x, y]) => {
      const depth = 1 + 0.0016 * y + 0.0007 * x;
      return [900 + (9.5 * x + 0.4 * y) / depth, 720 - (9.1 * y - 0.3 * x) / depth];
    };
    // What the slant does to the outline, were it not taken out: far more than a hand may miss by.
    const [left, right] = [[-30, 40], [30, 40]].map(onto);
    const [low, high] = [[-30, -50], [30, -50]].map(onto);
    const [upper, lower] = [right[0] - left[0], high[0] - low[0]];
    assert.ok(lower / upper > 1.1, 'the photo is askew');
    const card = [[-75, 48], [75, 48], [75, -58], [-75, -58]];
    const rim = [...card, card[0], [-73, 46], [-73, -56], [73, -56], [73, 46], [-73, 46]];
    const picture = await photograph(page, target, onto, size, [rim]);
    await page.setInputFiles('#photo-file', { name: 'slanted.png', mimeType: 'image/png', buffer: picture });
    await page.locator('#photo-table.full').waitFor();
    await page.locator('#photo-wide').fill('150');
    await page.locator('#photo-tall').fill('106');
    await page.locator('#photo-corners').click();
    await page.locator('#photo-table').scrollIntoViewIfNeeded();
    const onPhoto = await table(page, size);
    // In any order: a hand does not know which corner comes first.
    for (const i of [2, 0, 3, 1]) await page.mouse.click(...onPhoto(onto(card[i])));
    assert.match(await visit.text('#photo-desk [role="status"]'), /Straightened/);
    await page.locator('#photo-table').scrollIntoViewIfNeeded();
    await fit(visit, target, () => byCard(page, card));
    t.diagnostic(`largest error: ${(await near(visit, bench.address, target)).toFixed(2)} mm`);
    await visit.end();
  });

  test('a file that is no picture is refused in words', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    await visit.page.setInputFiles('#photo-file', { name: 'notes.txt', mimeType: 'text/plain', buffer: Buffer.from('no picture') });
    await visit.page.getByText('notes.txt is not a picture').waitFor();
    await visit.end();
  });
}
