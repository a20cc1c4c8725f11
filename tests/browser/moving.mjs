// Drag, change, undo, compare, come back: what a hand does on the page.

import assert from 'node:assert/strict';
import test from 'node:test';
import { Visit, alike, only } from './bench.mjs';

/** A page whose upper strap is in the hand, a little off its place, at rest; `hold(true)` keeps answers back. */
async function dragged(bench, options, hash) {
  let held = false;
  const visit = await Visit.open(bench.browser, bench.address, options, hash, (context) => context.routeWebSocket('**/api/wire', (wire) => {
    const server = wire.connectToServer();
    server.onMessage((answer) => held || wire.send(answer));
  }));
  const { mouse } = visit.page;
  const [x, y] = await visit.middle('#handle-upper');
  await mouse.move(x, y);
  await mouse.down();
  await mouse.move(x + 8, y);
  await visit.settled();
  return { visit, hold: (back) => (held = back), x, y };
}

export function moving(bench) {
  test('the page opens on a connector with its strap ready', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const found = await visit.showsTheShare();
    assert.match(await visit.text('#sentence'), /gate carries/);
    assert.match(await visit.text('#weakest'), /fails first/i);
    assert.ok((await visit.text('#caution')).length > 40, 'the caution is shown');
    assert.ok(found.mesh.unknowns >= 12000 && found.mesh.unknowns <= 15000);
    const words = await visit.page.locator('#picture-words').textContent();
    assert.ok(words.includes(`the gate ${found.share.gate_kn.toFixed(1)} kN`), words);
    // The picture is not empty: it holds many colours.
    const colours = await visit.page.locator('#picture').evaluate((canvas) => {
      const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
      const seen = new Set();
      for (let i = 0; i < data.length; i += 4 * 7) seen.add((data[i] << 16) | (data[i + 1] << 8) | data[i + 2]);
      return seen.size;
    });
    assert.ok(colours > 200, `${colours} colours`);
    await visit.end();
  });

  test('the strap is dragged to the gate side by mouse', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const before = await visit.showsTheShare();
    const [x, y] = await visit.middle('#handle-upper');
    await visit.drag([x, y], [x + 60, y]);
    const after = await visit.showsTheShare();
    assert.ok(Number(visit.state().set['rig.upper.offset_mm']) > 3, JSON.stringify(visit.state()));
    assert.ok(after.share.gate_fraction > before.share.gate_fraction + 0.03, 'the gate takes more');
    // On the strap itself, back beyond the middle; far beyond the bar it stops where it fits.
    const [x2, y2] = await visit.middle('#handle-upper');
    await visit.drag([x2, y2 + 30], [x2 - 800, y2 + 30], 20);
    await visit.showsTheShare();
    const handle = visit.page.locator('#handle-upper');
    assert.equal(await handle.getAttribute('aria-valuenow'), await handle.getAttribute('aria-valuemin'));
    assert.equal(Number(visit.state().set['rig.upper.offset_mm']), Number(await handle.getAttribute('aria-valuemin')));
    await visit.end();
  });

  test('a drag goes by the standing connection, and by requests when that breaks', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const posts = () => visit.requests.filter((url) => url.endsWith('/api/solve')).length;
    const before = posts();
    const [x, y] = await visit.middle('#handle-upper');
    await visit.drag([x, y], [x + 60, y]);
    await visit.showsTheShare();
    assert.ok(visit.wired > 0, 'questions went by the wire');
    assert.equal(posts(), before, 'no request for any of them');
    await visit.type('window.corner_radius_mm', 900);
    await visit.settled();
    assert.match(await visit.text('#controls [data-key="window.corner_radius_mm"]'), /allowed/);
    await visit.end({ refused: [422] });

    // A wire that swallows the third question and breaks; after it none can be laid.
    const other = await Visit.open(bench.browser, bench.address, {}, '', async (context) => {
      let wires = 0;
      await context.routeWebSocket('**/api/wire', (wire) => {
        if (wires++) return wire.close();
        const server = wire.connectToServer();
        let heard = 0;
        wire.onMessage((question) => (++heard < 3 ? server.send(question) : wire.close()));
      });
    });
    const [x2, y2] = await other.middle('#handle-upper');
    await other.drag([x2, y2], [x2 - 60, y2], 30);
    await other.showsTheShare();
    assert.ok(Number(other.state().set['rig.upper.offset_mm']) < -3, JSON.stringify(other.state()));
    await other.end();
  });

  test('a dragged strap is where the hand has it, also while its answer is on its way', async () => {
    const { visit, hold, x, y } = await dragged(bench, {}, '');
    const { mouse } = visit.page;
    hold(true);
    // Colours in a row of the picture across the strap, and the handle: two frames after the hand moved, or as soon as a page draws that
    // is slow and waits for an answer a little. None comes here.
    const strap = (before = []) => visit.page.evaluate((old) => new Promise((resolve) => {
      const canvas = document.querySelector('#picture');
      const row = () => canvas.getContext('2d').getImageData(0, Math.round(0.1 * canvas.height), canvas.width, 1).data.join();
      const began = performance.now();
      const look = () => {
        const now = [row(), document.querySelector('#handle-upper').style.transform];
        if (now.every((one, k) => one !== old[k]) || performance.now() - began > 2000) resolve(now);
        else requestAnimationFrame(look);
      };
      requestAnimationFrame(() => requestAnimationFrame(look));
    }), before);
    const seen = [await strap()];
    for (const step of [16, 24, 32]) {
      await mouse.move(x + step, y);
      seen.push(await strap(seen.at(-1)));
    }
    for (const k of [0, 1]) assert.equal(new Set(seen.map((one) => one[k])).size, 4, k ? 'the handle' : 'the strap');
    hold(false);
    await mouse.up();
    await visit.context.close();
  });

  test('what is drawn ahead of the answer is what a whole picture shows', only('chromium', 'Firefox smooths curves at the edge of what is drawn anew by more than the pixels are held to: 24 colours of pixels differ'), async () => {
    const { visit, hold, x, y } = await dragged(bench, { deviceScaleFactor: 1.25 }, '#v=1&model=oval&rig.both.width_mm=24&rig.load_kn=4');
    const { mouse } = visit.page;
    hold(true);
    await mouse.move(x - 9, y);
    await mouse.move(x - 12, y);
    // Nothing but the straps is drawn until somebody asks for all of it; a machine that is too slow for that draws all of it, a little later.
    await visit.page.waitForTimeout(120);
    const unlike = await visit.page.evaluate(async () => {
      const canvas = document.querySelector('#picture');
      const two = () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
      const pixels = () => canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
      await two();
      const ahead = pixels();
      const place = document.querySelector('#highest button');
      for (const event of ['pointerenter', 'pointerleave']) place.dispatchEvent(new PointerEvent(event));
      await two();
      const whole = pixels();
      // As seen on white. Where a curve is cut off its edge is smoothed a little differently, by up to 9 of 255.
      const seen = (of, i) => 255 + ((of[i] - 255) * of[i | 3]) / 255;
      return whole.reduce((count, _, i) => count + (i % 4 < 3 && Math.abs(seen(ahead, i) - seen(whole, i)) > 16 ? 1 : 0), 0);
    });
    assert.equal(unlike, 0, `${unlike} colours of pixels differ`);
    hold(false);
    await mouse.up();
    await visit.context.close();
  });

  test('the strap is moved by the keyboard', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { keyboard } = visit.page;
    // From the top of the page by the skip link, as one without a mouse comes there.
    await keyboard.press('Tab');
    await keyboard.press('Enter');
    await visit.page.locator('#handle-upper').focus();
    for (let i = 0; i < 3; i++) await keyboard.press('ArrowRight');
    await visit.showsTheShare();
    assert.equal(visit.state().set['rig.upper.offset_mm'], '1.5');
    assert.equal(visit.state().set['rig.lower.offset_mm'], '1.5', 'both ends move together');
    await keyboard.press('Shift+ArrowRight');
    await visit.showsTheShare();
    assert.equal(visit.state().set['rig.upper.offset_mm'], '6.5');
    await visit.page.locator('label', { has: visit.page.locator('#link-ends') }).click();
    await visit.page.locator('#handle-lower').press('Home');
    await visit.showsTheShare();
    assert.equal(visit.state().set['rig.upper.offset_mm'], '6.5', 'one end alone');
    const lower = visit.page.locator('#handle-lower');
    assert.equal(visit.state().set['rig.lower.offset_mm'], await lower.getAttribute('aria-valuemin'));
    assert.match(await lower.getAttribute('aria-valuetext'), /toward the spine; the gate carries \d+ percent/);
    await visit.end();
  });

  test('gate, notch and model are changed', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const shut = await visit.showsTheShare();
    await visit.type('nose.notch_depth_mm', 3.2);
    const notch = await visit.showsTheShare();
    assert.equal(visit.state().set['nose.notch_depth_mm'], '3.2');
    assert.notDeepEqual(notch.peaks, shut.peaks);
    const slider = (await visit.row('nose.notch_depth_mm')).locator('input[type="range"]');
    await slider.press('ArrowRight');
    await visit.showsTheShare();
    assert.ok(Number(visit.state().set['nose.notch_depth_mm']) > 3.2);
    for (const gate of ['half', 'open']) {
      await visit.page.locator(`#gate-state label:has([value="${gate}"])`).click();
      await visit.showsTheShare();
      assert.equal(visit.state().set['rig.gate'], gate);
    }
    assert.match(await visit.text('#gate-share'), /open/);
    await visit.page.selectOption('#model', 'pear');
    await visit.showsTheShare();
    assert.equal(visit.state().model, 'pear');
    for (const model of ['oval', 'offset-d', 'broadbar-steel']) {
      await visit.page.selectOption('#model', model);
      await visit.showsTheShare();
    }
    await visit.end();
  });

  test('what the quick findings of a moving hand leave out is told once it rests', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    await visit.showsTheShare();
    assert.doesNotMatch(await visit.text('#hazards'), /would have/);
    await visit.type('rig.load_kn', 28);
    const found = await visit.showsTheShare();
    assert.ok(found.beyond.some((words) => /gate line would have gone/.test(words)), found.beyond.join());
    await visit.page.locator('#hazards', { hasText: 'gate line would have gone' }).waitFor();
    const told = (await Promise.all(['#sentence', '#hazards', '#warnings'].map((part) => visit.page.locator(part).textContent()))).join(' ').replaceAll('\u00a0', ' ');
    for (const words of [...found.beyond, ...found.warnings]) assert.ok(told.includes(words), `${words} is in: ${told}`);
    await visit.type('rig.load_kn', 10);
    await visit.showsTheShare();
    assert.doesNotMatch(await visit.text('#hazards'), /would have/);
    await visit.end();
  });

  test('an impossible radius is explained in place and the last good picture stays', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    await visit.showsTheShare();
    const picture = () => visit.page.locator('#picture').evaluate((canvas) => canvas.toDataURL());
    const [good, sentence] = [await picture(), await visit.text('#sentence')];
    await visit.type('window.corner_radius_mm', 60);
    const row = await visit.row('window.corner_radius_mm');
    await row.locator('.mistake:not([hidden])').waitFor();
    const words = await row.locator('.mistake').innerText();
    assert.match(words, /mm/);
    assert.ok(words.length > 20, words);
    assert.equal(await row.locator('input[type="text"]').getAttribute('aria-invalid'), 'true');
    assert.match(await visit.text('#mistakes'), /last state that was solved/);
    await visit.settled();
    assert.ok((await picture()) === good, 'the last good picture stays');
    assert.equal(await visit.text('#sentence'), sentence);
    await visit.accessible('with a mistake shown');
    await visit.page.locator('#undo').click();
    await visit.showsTheShare();
    assert.ok(await row.locator('.mistake').isHidden());
    assert.ok(await visit.page.locator('#mistakes').isHidden());
    await visit.end({ refused: [422] });
  });

  test('undo and redo walk over what was done', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const start = await visit.text('#gate-kn');
    const [x, y] = await visit.middle('#handle-upper');
    await visit.drag([x, y], [x + 50, y]);
    await visit.settled();
    const dragged = await visit.text('#gate-kn');
    await visit.type('nose.notch_depth_mm', 3);
    await visit.settled();
    const changed = visit.state().set;
    assert.notEqual(dragged, start);
    await visit.page.locator('#undo').click();
    await visit.settled();
    assert.ok(!('nose.notch_depth_mm' in visit.state().set));
    assert.equal(await visit.text('#gate-kn'), dragged);
    await visit.page.keyboard.press('Control+z');
    await visit.settled();
    assert.deepEqual(visit.state().set, {}, 'a whole drag is one step');
    assert.equal(await visit.text('#gate-kn'), start);
    assert.ok(await visit.page.locator('#undo').isDisabled());
    await visit.page.keyboard.press('Control+Shift+z');
    await visit.page.locator('#redo').click();
    await visit.showsTheShare();
    assert.deepEqual(visit.state().set, changed);
    // Not behind an open dialog, nor what is being written there.
    await visit.page.locator('#open').click();
    await visit.page.locator('#open-text').pressSequentially('a');
    await visit.page.keyboard.press('Control+z');
    await visit.page.locator('[data-test="open-dialog"] button').last().focus();
    await visit.page.keyboard.press('Control+z');
    await visit.page.keyboard.press('Escape');
    await visit.settled();
    assert.deepEqual(visit.state().set, changed);
    await visit.page.locator('#reset').click();
    await visit.settled();
    assert.equal(await visit.text('#gate-kn'), start);
    await visit.end();
  });

  test('a state is kept and compared in words', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    await visit.page.locator('#keep').click();
    await visit.page.locator('[data-kept="A"]').waitFor();
    const kept = await visit.page.locator('[data-kept="A"] .numbers').innerText();
    await visit.page.locator('#handle-upper').focus();
    await visit.page.keyboard.press('End');
    await visit.showsTheShare();
    const words = await visit.page.locator('[data-kept="A"] .difference').innerText();
    assert.match(words, /gate carries \d+ percentage points? (more|less)/);
    assert.equal(await visit.page.locator('[data-kept="A"] .numbers').innerText(), kept, 'what is kept stays');
    assert.match(await visit.page.locator('[data-kept="now"] .numbers').innerText(), new RegExp(await visit.text('#gate-kn')));
    await visit.accessible('with a kept state');
    for (const name of ['B', 'C', 'D']) {
      await visit.page.locator('#keep').click();
      await visit.page.locator(`[data-kept="${name}"]`).waitFor();
    }
    assert.ok(await visit.page.locator('#keep').isDisabled(), 'up to four');
    await visit.page.getByRole('button', { name: 'Go back to A' }).click();
    await visit.settled();
    assert.deepEqual(visit.state().set, {});
    await visit.page.getByRole('button', { name: 'Remove A' }).click();
    assert.equal(await visit.page.locator('[data-kept="A"]').count(), 0);
    await visit.type('rig.load_kn', 12);
    await visit.settled();
    const unlike = await visit.page.locator('[data-kept="B"] .difference').innerText();
    assert.match(unlike, /^Against B: the pulls are unlike, 12\.0 kN now and 10\.0 kN before/);
    assert.doesNotMatch(unlike, /MPa|percentage/, 'shares and stresses of unlike pulls are not compared');
    await visit.end();
  });

  test('the address brings everything back', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    await visit.type('rig.load_kn', 12);
    await visit.page.locator('#handle-upper').press('Shift+ArrowRight');
    await visit.page.locator('#field label:has([value="pull"])').click();
    await visit.settled();
    const [hash, sentence] = [new URL(visit.page.url()).hash, await visit.text('#sentence')];
    await visit.page.reload();
    await visit.page.waitForFunction(() => Number(document.querySelector('#stage').dataset.answer) > 0);
    await visit.showsTheShare();
    assert.equal(await visit.text('#sentence'), sentence);
    assert.equal(new URL(visit.page.url()).hash, hash);
    assert.ok(await visit.page.locator('#field [value="pull"]').isChecked());
    // The same address in another window.
    const other = await Visit.open(bench.browser, bench.address, {}, hash);
    assert.equal(await other.text('#sentence'), sentence);
    await other.end();
    await visit.end();
  });

  test('charts are drawn and a click goes there', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const chart = visit.page.locator('#chart-share');
    await chart.scrollIntoViewIfNeeded();
    const picture = chart.locator('svg');
    await picture.waitFor({ timeout: 60000 });
    assert.ok(await visit.page.locator('[data-test="flat-share"]').isHidden(), 'this one is not flat');
    const box = await picture.boundingBox();
    await picture.click({ position: { x: 0.75 * box.width, y: 0.5 * box.height } });
    await visit.page.waitForFunction(() => location.hash.includes('offset'));
    assert.ok(Number(visit.state().set['rig.upper.offset_mm']) > 1, JSON.stringify(visit.state()));
    // No load is that of what fails first.
    await visit.page.locator('#chart-key').selectOption('rig.load_kn');
    const flat = visit.page.locator('[data-test="flat-forecast"]');
    await flat.filter({ hasText: /does not change with pull within the plotted range, .* kN: .+, [\d.]+ kN/ }).waitFor({ timeout: 60000 });
    await visit.showsTheShare();
    await visit.end();
  });

  test('hovering reads the stress and the place in words', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const read = await visit.page.evaluate(() => {
      const canvas = document.querySelector('#picture');
      const box = canvas.getBoundingClientRect();
      return [box.x, box.y, box.width, box.height];
    });
    let words = '';
    for (let i = 1; i < 20 && !/MPa/.test(words); i++) {
      await visit.page.mouse.move(read[0] + (read[2] * i) / 20, read[1] + read[3] / 2);
      words = await visit.page.locator('#reading').textContent();
    }
    assert.match(words, /MPa/);
    await visit.end();
  });
}
