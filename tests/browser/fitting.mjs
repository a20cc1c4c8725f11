// Any window, any letters, any colours: nothing covered, nothing cut off, nothing too small to hit, and Tab is always seen.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';
import { PHONE, Visit, browse, only } from './bench.mjs';

/** Small phones, a phone that lies, desks at twice the size (half the pixels), tablets, desks, walls. */
const WINDOWS = [[320, 640], [390, 844], [640, 400], [720, 450], [844, 390], [1024, 700], [1440, 900], [2560, 1440], [3840, 2160]];

/** What can be pressed and what it is: runs in the page. Rectangles are those that are seen inside of what scrolls. */
function survey() {
  const told = { over: [], small: [], cut: [], met: [], covered: [], roomy: document.documentElement.scrollWidth - document.documentElement.clientWidth };
  const name = (e) => e.id || e.dataset.key || e.closest('[data-key]')?.dataset.key || e.textContent.trim().slice(0, 30) || e.className || e.tagName;
  const seen = (e) => e.checkVisibility({ opacityProperty: false, visibilityProperty: true }) && !e.closest('.hidden, .skip');
  const part = (e) => {
    let { left, top, right, bottom } = e.getBoundingClientRect();
    for (let up = e.parentElement; up && up !== document.body; up = up.parentElement) {
      if (getComputedStyle(up).overflowX === 'visible') continue;
      const box = up.getBoundingClientRect();
      [left, top, right, bottom] = [Math.max(left, box.left), Math.max(top, box.top), Math.min(right, box.right), Math.min(bottom, box.bottom)];
    }
    return { left, top, right, bottom };
  };
  const room = document.documentElement.clientWidth;
  for (const e of document.querySelectorAll('body *')) {
    if (!seen(e) || e.closest('svg')) continue;
    if (part(e).right > room + 1 && part(e).left < part(e).right) told.over.push(name(e));
    const style = getComputedStyle(e);
    if (style.overflowX === 'hidden' && style.textOverflow !== 'ellipsis' && e.scrollWidth > e.clientWidth + 1) told.cut.push(name(e));
  }
  const targets = [...document.querySelectorAll('a[href], button, summary, select, input, [role="slider"]')].filter(seen);
  const boxes = targets.map((e) => {
    const hit = e.matches('[type="checkbox"], [type="radio"]') ? (e.closest('label') ?? e) : e;
    return { e, hit, full: hit.getBoundingClientRect(), box: part(hit) };
  });
  for (const { e, full } of boxes) if (Math.min(full.width, full.height) < 23.95) told.small.push(`${name(e)} ${full.width.toFixed(1)} x ${full.height.toFixed(1)}`);
  // What lies on the picture, and what sticks to an edge of the window, lies over something by its nature.
  const flat = boxes.filter(({ e, box }) => !e.closest('#stage, .caution, .notice') && box.right > box.left && box.bottom > box.top);
  flat.forEach((a, i) => {
    for (const b of flat.slice(i + 1)) {
      if (a.hit.contains(b.hit) || b.hit.contains(a.hit) || Boolean(a.e.closest('.top')) !== Boolean(b.e.closest('.top'))) continue;
      const [w, h] = [Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left), Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top)];
      if (w > 1 && h > 1) told.met.push(`${name(a.e)} and ${name(b.e)}`);
    }
  });
  for (const { e, hit, box } of flat.filter((one) => one.e.closest('.top'))) {
    const at = document.elementFromPoint((box.left + box.right) / 2, (box.top + box.bottom) / 2);
    if (!hit.contains(at)) told.covered.push(`${name(e)} by ${at && name(at)}`);
  }
  return told;
}

const NOTHING = { over: [], small: [], cut: [], met: [], covered: [], roomy: 0 };

const openAll = (page) => page.evaluate(() => document.querySelectorAll('#controls details').forEach((one) => (one.open = true)));

async function well(visit, what) {
  assert.deepEqual(await visit.page.evaluate(survey), NOTHING, what);
}

/** What has the focus, its name, and how much of it is hidden by what sticks to the edges: runs in the page. */
function focused() {
  const e = document.activeElement;
  if (e === document.body) return null;
  const hit = e.matches('[type="checkbox"], [type="radio"]') ? e.closest('label') : e;
  const box = hit.getBoundingClientRect();
  const label = e.getAttribute('aria-label') || [...(e.labels ?? [])].map((l) => l.textContent.trim()).join(' ') || (e.matches('input, select, canvas') ? '' : e.textContent.trim());
  const sticks = [...document.querySelectorAll('.top, #stage, .caution')].filter((s) => getComputedStyle(s).position === 'sticky' && !s.contains(e));
  const under = sticks.filter((s) => {
    const over = s.getBoundingClientRect();
    return Math.min(over.right, box.right) - Math.max(over.left, box.left) > 1 && Math.min(over.bottom, box.bottom) - Math.max(over.top, box.top) > 1;
  });
  const out = box.bottom > innerHeight + 1 || box.top < -1;
  return { id: e.id || label || e.outerHTML.slice(0, 120), label, under: under.map((s) => s.className || s.id), out: out && box.height < 0.8 * innerHeight };
}

/** Fields and units of the measures that show less than all of their text: runs in the page. */
const clipped = () => [...document.querySelectorAll('.row input[type="text"]:not(.long), .row .unit')].filter((e) => e.checkVisibility() && e.scrollWidth > e.clientWidth).map((e) => `${e.value ?? e.textContent}: ${e.scrollWidth} in ${e.clientWidth}`);

/** Values as people write them, longer than a bare number. */
const LONG = [['rig.load_kn', '500 kN'], ['rig.upper.width_mm', '12.5 mm'], ['nose.notch_depth_mm', '6.25 \u00b1 0.2']];

/** What can be pressed and is seen, and what of it the message lies on: runs in the page. */
function pressed(seen) {
  const at = (e) => {
    const { left, top, width, height } = e.getBoundingClientRect();
    return document.elementFromPoint(left + width / 2, top + height / 2);
  };
  const all = [...document.querySelectorAll('a[href], button, summary, select, input, [role="slider"], canvas[tabindex]')].filter((e) => !e.closest('.notice'));
  if (seen) window.hit = all.filter((e) => e.checkVisibility() && (e.contains(at(e)) || at(e)?.closest('label')?.contains(e)));
  return seen ? window.hit.length : window.hit.filter((e) => at(e)?.closest('.notice')).map((e) => e.id || e.textContent.trim() || e.className);
}

export function fitting(bench) {
  test('a field is as wide as the value in it, however it is written', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    await openAll(visit.page);
    for (const [key, text] of LONG) await visit.type(key, text);
    await visit.settled();
    for (const [width, height] of [[1440, 900], [390, 844], [320, 640]]) {
      await visit.page.setViewportSize({ width, height });
      await visit.page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
      assert.deepEqual(await visit.page.evaluate(clipped), [], `${width} x ${height}`);
      await well(visit, `${width} x ${height}, with long values`);
    }
    // What is being typed is seen whole as well.
    const load = (await visit.row('rig.load_kn')).locator('input[type="text"]');
    await load.fill('112404.5 lbf');
    assert.deepEqual(await visit.page.evaluate(clipped), []);
    await visit.end();
  });

  test('on a phone the handles stay clear of the line of caution, and no sentence moves the picture', async () => {
    const visit = await Visit.open(bench.browser, bench.address, PHONE);
    const at = async ([width, height]) => {
      await visit.page.setViewportSize({ width, height });
      await visit.page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
      const [stage, lower, caution] = await Promise.all(['#stage', '#handle-lower', '.caution'].map((one) => visit.page.locator(one).boundingBox()));
      assert.ok(lower.y + lower.height <= caution.y, JSON.stringify([width, height, lower, caution]));
      return stage.y;
    };
    const sizes = [[320, 640], [360, 640], [390, 844]];
    const before = [];
    for (const size of sizes) before.push(await at(size));
    // Two sentences and a hazard more.
    await visit.page.evaluate(() => (location.hash = '#v=1&model=broadbar-alu&rig.load_kn=500'));
    await visit.page.locator('#hazards li').first().waitFor();
    await visit.settled();
    for (const [i, size] of sizes.entries()) assert.equal(await at(size), before[i], `${size}`);
    await visit.end();
  });

  test('a message covers nothing that can be pressed', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    await openAll(page);
    for (const [width, height] of [[1440, 900], [390, 844], [320, 640], [844, 390]]) {
      await page.setViewportSize({ width, height });
      for (const part of ['#mark', '#compare', '#explain-form']) {
        await page.locator(part).evaluate((one) => one.scrollIntoView({ behavior: 'instant' }));
        await page.waitForTimeout(100);
        assert.ok((await page.evaluate(pressed, true)) > 0, `${width} x ${height} ${part}: something can be pressed`);
        await page.evaluate(() => {
          const data = new DataTransfer();
          data.setData('text/plain', 'https://somewhere.example/');
          const event = new ClipboardEvent('paste', { bubbles: true, cancelable: true });
          Object.defineProperty(event, 'clipboardData', { value: data });
          document.body.dispatchEvent(event);
        });
        await page.getByText('This link holds no state').waitFor();
        await page.waitForTimeout(100);
        assert.deepEqual(await page.evaluate(pressed, false), [], `${width} x ${height} ${part}`);
        const box = await page.locator('.notice').boundingBox();
        assert.ok(box.y >= 0 && box.y + box.height <= height, `in sight: ${JSON.stringify(box)}`);
        await page.getByRole('button', { name: 'Close this message' }).click();
      }
    }
    await visit.end();
  });

  test('in every window nothing is covered, cut off or too small to hit', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    await openAll(visit.page);
    await visit.page.locator('#keep').click();
    await visit.page.locator('[data-kept="A"]').waitFor();
    for (const [width, height] of WINDOWS) {
      await visit.page.setViewportSize({ width, height });
      await visit.page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
      await well(visit, `${width} x ${height}`);
      const [stage, looks] = [await visit.page.locator('#stage').boundingBox(), await visit.page.locator('.easel .looks.low').boundingBox()];
      assert.ok(stage.width >= 250 && stage.height >= 250, `${width} x ${height}: ${JSON.stringify(stage)}`);
      assert.ok(stage.y + stage.height <= looks.y + 1 || stage.x + stage.width <= looks.x + 1, 'what belongs to the picture stands beside it');
    }
    await visit.end();
  });

  test('the gate has room for its words beside a long title', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    const text = readFileSync(new URL('../../models/oval.toml', import.meta.url), 'utf8').replace(/^title.*$/m, 'title = "A connector with a very long title indeed, as somebody gives it who has many of them"');
    await page.setInputFiles('#open-file', { name: 'long.toml', mimeType: 'text/plain', buffer: Buffer.from(text) });
    await page.locator('#model option:checked', { hasText: 'A connector' }).waitFor({ state: 'attached' });
    for (const width of [1280, 1440]) {
      await page.setViewportSize({ width, height: 900 });
      const [words, room] = await page.evaluate(() => ['#gate-state label:last-of-type', '#gate-state'].map((of) => document.querySelector(of).getBoundingClientRect().right));
      assert.ok(words <= room, `${width}: ${words} of ${room}`);
      const [name, fits] = await page.locator('#mark').evaluate((mark) => [mark.scrollWidth, mark.clientWidth]);
      assert.ok(name <= fits, `${width}: the name takes ${name} of ${fits}`);
      await well(visit, `${width}, a long title`);
    }
    await visit.end();
  });

  test('a low window shows picture and sentence side by side, with both handles in sight', async () => {
    for (const size of [{ width: 844, height: 390 }, { width: 720, height: 450 }]) {
      const visit = await Visit.open(bench.browser, bench.address, { viewport: size, deviceScaleFactor: 2 });
      const [stage, sentence, lower] = [await visit.page.locator('#stage').boundingBox(), await visit.page.locator('#sentence').boundingBox(), await visit.page.locator('#handle-lower').boundingBox()];
      assert.ok(sentence.x >= stage.x + stage.width, 'the sentence is beside the picture');
      assert.ok(sentence.y + sentence.height < size.height && lower.y + lower.height <= size.height + 1, JSON.stringify([size, sentence, lower]));
      await visit.end();
    }
  });

  test('Tab reaches everything by name, and never under what sticks to an edge', async () => {
    for (const [width, height] of [[390, 844], [1024, 700]]) {
      const visit = await Visit.open(bench.browser, bench.address, { viewport: { width, height } });
      await openAll(visit.page);
      // What is drawn when it is seen is there before: it would move what stands below while Tab goes on.
      for (const id of ['what-if', 'forecast', 'photo']) await visit.page.locator(`#${id}`).scrollIntoViewIfNeeded();
      await visit.page.locator('#chart-share svg').waitFor();
      await visit.page.locator('#chart-forecast svg').waitFor();
      await visit.settled();
      await visit.page.evaluate(() => scrollTo(0, 0));
      await visit.page.locator('.skip').focus();
      const [seen, wrong] = [[], []];
      for (let i = 0; i < 200; i++) {
        await visit.page.keyboard.press('Tab');
        const now = await visit.page.evaluate(focused);
        if (!now) break;
        seen.push(now.id);
        if (now.under.length || now.out || !now.label) wrong.push(now);
      }
      assert.deepEqual(wrong, [], `${width} x ${height}`);
      assert.ok(seen.length > 60 && seen.includes('photo-unknown'), `${seen.length} stops, the last: ${seen.at(-1)}`);
      await visit.end();
    }
  });

  test('letters as large as the reader wants them', async (t) => {
    const browser = await browse({ letters: 24 });
    t.after(() => browser.close());
    for (const options of [{}, PHONE]) {
      const visit = await Visit.open(browser, bench.address, options);
      await openAll(visit.page);
      const letters = await visit.page.evaluate(() => parseFloat(getComputedStyle(document.documentElement).fontSize));
      assert.ok(letters >= 22, `letters of ${letters} pixels`);
      for (const [key, text] of LONG) await visit.type(key, text);
      await visit.settled();
      assert.deepEqual(await visit.page.evaluate(clipped), [], 'fields with large letters');
      await visit.page.evaluate(() => scrollTo({ top: 0, behavior: 'instant' }));
      await well(visit, `${options.viewport ? 'phone' : 'desk'} with large letters`);
      await visit.end();
    }
  });

  for (const colorScheme of ['light', 'dark']) {
    test(`forced colours, ${colorScheme}: everything can be seen and used`, only('chromium', 'without a desktop the forced colours of Firefox are themselves too weak'), async () => {
      const visit = await Visit.open(bench.browser, bench.address, { colorScheme, forcedColors: 'active' });
      const { page } = visit;
      await visit.accessible('forced colours');
      /** How much of an element's picture has another colour than its corner. */
      const drawn = async (selector, clip) => {
        const one = page.locator(selector).first();
        await one.scrollIntoViewIfNeeded();
        const box = await one.boundingBox();
        const shot = await page.screenshot({ clip: clip ? clip(box) : box });
        return page.evaluate(async (text) => {
          const picture = await createImageBitmap(new Blob([Uint8Array.from(atob(text), (c) => c.charCodeAt(0))]));
          const context = Object.assign(document.createElement('canvas'), { width: picture.width, height: picture.height }).getContext('2d');
          context.drawImage(picture, 0, 0);
          const { data } = context.getImageData(0, 0, picture.width, picture.height);
          let other = 0;
          for (let i = 0; i < data.length; i += 4) other += [0, 1, 2].some((k) => Math.abs(data[i + k] - data[k]) > 60);
          return (4 * other) / data.length;
        }, shot.toString('base64'));
      };
      // The right half of a slider that stands at its left end holds nothing but its track.
      assert.ok((await drawn('#enlarged', (b) => ({ x: b.x + b.width / 2, y: b.y, width: b.width / 2, height: b.height }))) > 0.1, 'the track of a slider');
      assert.ok((await drawn('#gate-state')) > 0.15, 'what is chosen');
      assert.ok((await drawn('#balance svg')) > 0.2, 'the balance');
      assert.ok((await drawn('#handle-upper', (b) => ({ x: b.x + 6, y: b.y + 6, width: b.width - 12, height: b.height - 12 }))) > 0.03, 'the arrows of a handle');
      await page.locator('#forecast').scrollIntoViewIfNeeded();
      await page.locator('#forecast-bars .bar.first').waitFor();
      await visit.judged();
      const around = (b) => ({ x: b.x - 3, y: b.y - 3, width: b.width + 6, height: b.height + 6 });
      assert.ok((await drawn('#forecast-bars .bar.first', around)) > 0.4, 'a bar of the forecast');
      // The page's own choice of theme does not count: ink of the picture stays apart from the paper.
      await page.locator('#theme').click();
      const [ink, paper] = await page.evaluate(() => [getComputedStyle(document.querySelector('#sentence')).color, getComputedStyle(document.body).backgroundColor]);
      assert.notEqual(ink, paper);
      await visit.settled();
      await visit.end();
    });
  }
}
