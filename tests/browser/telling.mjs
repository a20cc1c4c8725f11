// Whether picture and sentence tell the truth at a glance: the hottest place, loads that are not held, first yield, the nose.

import assert from 'node:assert/strict';
import test from 'node:test';
import { ENGINE, PHONE, Visit, alike, findings, shown } from './bench.mjs';

const MODELS = ['broadbar-alu', 'broadbar-steel', 'offset-d', 'oval', 'pear'];
const data = (visit, what) => visit.page.locator('#stage').getAttribute(`data-${what}`);

/** What the chart of the share reads of a state under the load that it has. */
const charted = (visit, state, load) => visit.page.evaluate(async ([shown, kn]) => {
  const asked = { version: 2, session: 'tellingbench', ticket: Date.now(), state: shown, key: 'rig.load_kn', from: kn - 1, to: kn + 1, n: 3, what: 'share', dark: false, size: [640, 360] };
  const answer = await fetch('/api/chart', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(asked) });
  return (await answer.json()).rows[1].peak_mpa;
}, [state, load]);

export function telling(bench) {
  test('the hottest place is one in list, chart, words and findings, and the notch is told apart', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    for (const model of MODELS) {
      await visit.page.selectOption('#model', model);
      await visit.settled();
      const first = await visit.page.locator('#highest li:first-child b').innerText();
      const state = visit.state();
      const found = findings(model, state.set);
      assert.equal(first, `${Math.round(await charted(visit, state, found.load_kn))} MPa`, `${model}: list and chart`);
      const hottest = found.peaks.find((peak) => peak.trusted && !peak.joint);
      assert.equal(first, `${Math.round(hottest.von_mises_mpa)} MPa`, `${model}: list and findings`);
      assert.doesNotMatch(await visit.text('#highest'), /notch/, model);
      assert.match(await visit.text('#notch'), /^In the notch.*MPa/, model);
      const words = await visit.page.locator('#picture-words').textContent();
      assert.match(words, new RegExp(`${hottest.where}: ${first}`), model);
      assert.ok(words.includes(await visit.text('#notch')), `${model}: ${words}`);
    }
    await visit.end();
    // 4.2 kN of the pull by 4.3 kN along the pins: said where they are not one number.
    for (const [model, said] of [['broadbar-steel', true], ['oval', false]]) {
      const other = await Visit.open(bench.browser, bench.address, {}, `#v=1&model=${model}`);
      await other.settled();
      assert.equal(/counts only the part of the force in the gate line/.test(await other.text('#notch')), said, model);
      await other.end();
    }
  });

  test('a load above what holds is told first, and never that the gate carries it', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    await visit.page.evaluate(() => {
      window.told = [];
      new MutationObserver(() => window.told.push(document.querySelector('#sentence').textContent)).observe(document.querySelector('#sentence'), { childList: true, characterData: true, subtree: true });
    });
    assert.ok(await visit.page.locator('#balance-if').isHidden());
    await visit.type('rig.load_kn', 500);
    await visit.settled();
    assert.match(await visit.text('#sentence'), /^Before 500.kN .*means nothing/);
    const told = await visit.page.evaluate(() => window.told);
    assert.deepEqual(told.filter((sentence) => /At 500.kN/.test(sentence)), [], 'no sentence claims it');
    assert.match(await visit.text('#balance-if'), /if nothing gave way/);
    assert.match(await visit.text('.headline #hazards'), /gate line would have gone.*pulled by/s);
    const words = await visit.page.locator('#picture-words').textContent();
    assert.match(words, /If nothing gave way, of 500/);
    // Within what holds the sentence stands as soon as the picture, without waiting for the limits.
    await visit.type('rig.load_kn', 8);
    await visit.page.locator('#sentence', { hasText: /^At 8.kN the gate carries/ }).waitFor();
    await visit.settled();
    assert.ok(await visit.page.locator('#balance-if').isHidden());
    await visit.end();
  });

  test('hazards stand with the sentence, tolerances after them', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address, {}, '#v=1&model=pear&rig.friction=0.02');
    assert.match(await visit.text('#hazards'), /friction/);
    assert.doesNotMatch(await visit.text('#hazards'), /plus or minus/);
    assert.match(await visit.text('#warnings'), /plus or minus/);
    const { warnings } = findings('pear', { 'rig.friction': 0.02 });
    const range = warnings.findIndex((words) => /plus or minus/.test(words));
    const hazard = warnings.findLastIndex((words) => /friction/.test(words));
    assert.ok(hazard >= 0 && hazard < range, warnings.join('\n'));
    await visit.end();
  });

  test('first yield stands where stress passes yield, and the ruler says how far stresses go past it', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    assert.equal(await data(visit, 'yields'), null, 'at 10 kN nothing away from the notch yields');
    const highest = (set) => Math.round(findings('broadbar-alu', set).peaks[0].von_mises_mpa);
    assert.equal(await data(visit, 'past'), `to ${highest({})}`);
    // The point over the ruler has the colour of its end.
    const points = await visit.page.locator('#picture').evaluate((canvas) => {
      const [x, y] = [Math.round(0.85 * canvas.width), Math.round(0.06 * canvas.height)];
      const { data: pixels } = canvas.getContext('2d').getImageData(x, y, canvas.width - x, Math.round(0.1 * canvas.height));
      let count = 0;
      for (let i = 0; i < pixels.length; i += 4) count += pixels[i] === 255 && pixels[i + 1] === 230 && pixels[i + 2] === 126 ? 1 : 0;
      return count;
    });
    assert.ok(points > 20, `${points} pixels of the point`);
    const whole = await visit.page.locator('#picture').evaluate((canvas) => canvas.toDataURL());
    await visit.type('rig.load_kn', 14);
    await visit.settled();
    const { first_yield_kn } = findings('broadbar-alu', { 'rig.load_kn': 14 });
    assert.equal((await data(visit, 'yields')).replaceAll('\u00a0', ' '), `yields from ${shown(first_yield_kn)}`);
    assert.ok((await visit.page.locator('#picture').evaluate((canvas) => canvas.toDataURL())) !== whole);
    // A light load stays inside the ruler.
    await visit.type('rig.load_kn', 0.1);
    await visit.settled();
    assert.equal(await data(visit, 'yields'), '');
    await visit.end();
  });

  // Firefox's scroll bar takes 12 pixels of a window.
  const NARROW = ENGINE === 'firefox' ? 332 : 320;

  test('the words of first yield lie where the connector is not, in any window', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    for (const model of ['broadbar-alu', 'oval']) {
      const boxes = {};
      for (const load of [20, 0.1]) {
        await page.evaluate((hash) => (location.hash = hash), `#v=1&model=${model}&rig.load_kn=${load}`);
        await visit.settled();
        for (const [width, height] of [[1440, 900], [390, 844], [NARROW, 640]]) {
          await page.setViewportSize({ width, height });
          await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => requestAnimationFrame(done)))));
          const at = await data(visit, 'yields-at');
          const what = `${model}, ${width} x ${height}`;
          if (load === 20) {
            boxes[width] = at.split(' ').map(Number);
            assert.ok(boxes[width].length === 4 && boxes[width].every((v) => v >= 0), `${what}: ${at}`);
            continue;
          }
          // Under the light load nothing yields: of what the words lay on there is nothing but paper, and a shadow.
          assert.equal(at, '', what);
          const most = await page.locator('#picture').evaluate((canvas, [x0, y0, x1, y1]) => {
            const ratio = canvas.width / canvas.clientWidth;
            const [w, h] = [x1 - x0, y1 - y0];
            const copy = Object.assign(document.createElement('canvas'), { width: w, height: h }).getContext('2d');
            copy.drawImage(canvas, x0 * ratio, y0 * ratio, w * ratio, h * ratio, 0, 0, w, h);
            const { data: pixels } = copy.getImageData(0, 0, w, h);
            return pixels.reduce((most, v, i) => (i % 4 === 3 ? Math.max(most, v) : most), 0);
          }, boxes[width]);
          assert.ok(most < 80, `${what}: ${most} at ${boxes[width]}`);
        }
      }
    }
    await visit.end();
  });

  test('the words of first yield follow a place that moves slowly, and stay inside the picture', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const seen = await visit.page.evaluate(async () => {
      const { FirstYield } = await import('/assets/first_yield.js');
      const { toPage } = await import('/assets/view.js');
      const [words, context] = [new FirstYield(), document.createElement('canvas').getContext('2d')];
      const view = { x: 0, y: 0, scale: 1 };
      const [frame, gate] = [new Path2D(), new Path2D()];
      const pulls = Object.fromEntries([['upper', 1], ['lower', -1]].map(([end, sign]) => [end, { kind: 'strap', sign, centre: [0, -200 - 200 * sign], width: 10, edge: [] }]));
      const drawn = (x, room) => {
        const scene = { bodies: {}, head: { yields: 'yields from 12.0 kN', findings: { peaks: [{ x_mm: x, y_mm: -200, trusted: true }] } } };
        const at = { where: { key: '', paths: { frame, gate }, pulls }, size: [800, 400], room, taken: [], look: {}, enlarged: 0, rem: 16, family: 'serif', still: false };
        return [...words.draw(context, scene, view, at), toPage(view, [x, -200])[0]];
      };
      const wide = [6, 6, 794, 394];
      const moved = Array.from({ length: 30 }, (_, i) => drawn(200 + 10 * i, wide));
      return { moved, narrow: drawn(490, [6, 6, 480, 394]) };
    });
    const away = seen.moved.map(([left, , right, , x]) => Math.max(0, left - x, x - right));
    assert.ok(Math.max(...away) < 60, `pixels beside the place: ${away.map(Math.round)}`);
    assert.ok(seen.narrow[2] <= 480, `${seen.narrow}`);
    await visit.end();
  });

  test('the nose is shown enlarged with the forces of its pin, beside the connector or in its place', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const inset = async (at) => {
      await at.settled();
      const [times, ...forces] = ((await data(at, 'inset')) ?? '').split(' ');
      return { times: Number(times), forces: forces.join(' ') };
    };
    const before = await inset(visit);
    assert.ok(before.times >= 1.8 && before.times <= 4, `${before.times} times`);
    assert.equal(before.forces, shown(findings('broadbar-alu').contact.nose_kn));
    await visit.type('rig.load_kn', 6);
    const less = await inset(visit);
    assert.equal(less.forces, shown(findings('broadbar-alu', { 'rig.load_kn': 6 }).contact.nose_kn));
    // The pointer reads the frame in it, which the gate hides in the picture.
    const box = await visit.page.locator('#picture').boundingBox();
    let read = '';
    for (let i = 0; i < 40 && !/notch|nose/.test(read); i++) {
      await visit.page.mouse.move(box.x + box.width * 0.78, box.y + box.height * (0.15 + i / 80));
      read = await visit.page.locator('#reading').textContent();
    }
    assert.match(read, /MPa.*(notch|nose)/);
    await visit.page.locator('#gate-state label:has([value="open"])').click();
    await visit.settled();
    assert.equal(await data(visit, 'inset'), '');
    await visit.end();

    const phone = await Visit.open(bench.browser, bench.address, PHONE);
    assert.equal((await inset(phone)).times, 0, 'no room beside it');
    await phone.page.locator('#zoom-nose').click();
    const near = await inset(phone);
    assert.ok(near.times > 2, `${near.times} times`);
    assert.equal(await phone.page.locator('#zoom-nose').getAttribute('aria-pressed'), 'true');
    await phone.page.locator('#zoom-nose').click();
    assert.equal((await inset(phone)).times, 0);
    await phone.end();
  });

  test('what fails first is stamped with its range once that is known', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    await visit.page.locator('#forecast-bars').scrollIntoViewIfNeeded();
    await visit.page.locator('#forecast-range:not(.waits)').waitFor({ timeout: 60000 });
    const [, from, to] = (await visit.text('#forecast-bars')).match(/90 % range, ([\d.]+) kN to ([\d.]+) kN/);
    const stamp = (await visit.text('#weakest')).replaceAll('\u00a0', ' ');
    assert.ok(stamp.includes(`(${from} to ${to})`), `${stamp} against ${from} to ${to}`);
    await visit.page.locator('#handle-upper').press('Shift+ArrowRight');
    await visit.settled();
    assert.ok(!(await visit.text('#weakest')).includes(`(${from} to ${to})`), 'no range of a state before');
    await visit.end();
  });

  test('so far beyond what holds that a map means nothing no places are listed', async () => {
    const visit = await Visit.open(bench.browser, bench.address, {}, '#v=1&model=broadbar-alu&rig.load_kn=15&rig.gate=open');
    const { page } = visit;
    await visit.judged();
    // Beyond, but not by so much: places tell where.
    assert.equal(await page.locator('#highest li').count(), 3);
    assert.ok(await page.locator('#no-places').isHidden());
    await visit.type('rig.load_kn', 500);
    await visit.judged();
    assert.equal(await page.locator('#highest li').count(), 0);
    assert.match(await visit.text('.hot'), /Not listed: so far above what the connector holds/);
    assert.doesNotMatch(await page.locator('.story').innerText(), /\d MPa/);
    assert.doesNotMatch(await page.locator('#picture-words').textContent(), /^(?=.*means nothing).*Highest stresses/);
    await visit.end();
  });

  test('the range comes to the stamp of a page that rests, without a look at the forecast', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    await visit.page.locator('#weakest', { hasText: /with the 90\s%\srange.*\(\d+\.\d\sto/s }).waitFor();
    assert.equal(await visit.page.evaluate(() => scrollY), 0);
    await visit.end();
  });
}
