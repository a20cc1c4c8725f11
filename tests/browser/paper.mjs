// The page on paper: one sheet, light and sharp, with all that is to be taken away and nothing that is to be pressed.

import assert from 'node:assert/strict';
import test from 'node:test';
import { inflateSync } from 'node:zlib';
import { PHONE, Visit, onPaper, print, shown } from './bench.mjs';

const STATE = '#v=1&model=broadbar-alu&rig.upper.offset_mm=5&rig.lower.offset_mm=5&nose.notch_depth_mm=3.4&rig.gate=half';

/** Pages of a PDF that the browser wrote; Firefox packs the list of them. */
function pages(bytes) {
  const text = bytes.toString('latin1');
  const packed = [...text.matchAll(/\/ObjStm[^]*?stream\r?\n([^]*?)endstream/g)].map(([, stream]) => inflateSync(Buffer.from(stream, 'latin1')).toString('latin1'));
  return [text, ...packed].join('\n').match(/\/Type\s*\/Page\b(?!s)/g)?.length;
}

export function paper(bench) {
  test('printed, the page is one sheet with everything, in light colours', async () => {
    const visit = await Visit.open(bench.browser, bench.address, { colorScheme: 'dark' }, STATE);
    const { page } = visit;
    const found = await visit.showsTheShare();
    await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
    await onPaper(page, true);
    const sheet = page.locator('#sheet');
    const text = (await sheet.innerText()).replace(/\s+/g, ' ');
    const plain = async (selector) => (await page.locator(selector).textContent()).replace(/\s+/g, ' ');
    for (const words of [found.connector, await plain('#sentence'), await plain('#rig-words'), shown(found.share.gate_kn), await plain('#weakest b'), await plain('#caution'), 'notch depth: 3.4 mm (model: 6)', 'gate: half shut (model: closed)']) {
      assert.ok(text.includes(words), `${words}: ${text}`);
    }
    for (const words of found.warnings.filter((w) => !/_/.test(w))) assert.ok(text.includes(words), words);
    for (const peak of found.peaks.filter((p) => p.trusted && !p.joint).slice(0, 3)) assert.ok(text.includes(`${Math.round(peak.von_mises_mpa)} MPa`), peak.where);
    assert.ok((await sheet.locator('.bar').count()) >= 8 && (await sheet.locator('.tale p').count()) >= 2, 'bars and story');
    const seen = await page.evaluate(() => [...document.querySelectorAll('button, input, select, nav, .top, #stage')].filter((e) => e.checkVisibility()).length);
    assert.equal(seen, 0, 'nothing to press');
    const look = await page.evaluate(() => {
      const canvas = [...document.querySelectorAll('#sheet canvas')].find((one) => one.checkVisibility());
      const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
      let [drawn, white] = [0, 0];
      for (let i = 0; i < data.length; i += 4) {
        drawn += data[i + 3] > 200;
        // Letters and lines of the dark look are nearly white.
        white += data[i + 3] > 200 && Math.min(data[i], data[i + 1], data[i + 2]) > 225 && Math.abs(data[i] - 241) < 3;
      }
      return { dots: canvas.width / canvas.clientWidth, drawn: drawn / (data.length / 4), white: white / (data.length / 4), paper: getComputedStyle(document.body).backgroundColor };
    });
    assert.ok(look.dots >= 2.5, `${look.dots} dots to a pixel`);
    assert.ok(look.drawn > 0.1 && look.white < 0.003, JSON.stringify(look));
    assert.equal(look.paper, 'rgb(255, 255, 255)');
    await page.evaluate(() => dispatchEvent(new Event('afterprint')));
    await onPaper(page, false);
    for (const paper of ['A4', 'Letter']) assert.equal(pages(await print(page, paper)), 1, paper);
    assert.equal(await sheet.isVisible(), false, 'on the screen there is no sheet');
    await visit.end();
  });

  test('the sheet fills the paper, A4 or letter, with the map', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    await visit.judged();
    await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
    await onPaper(page, true);
    // The whole paper, as the style sheet is asked about it, and what of it lies inside the margins.
    for (const [width, height, inside, map] of [[794, 1123, 1032, 440], [816, 1056, 965, 380]]) {
      await page.setViewportSize({ width, height });
      const [sheet, maps] = await page.evaluate((wide) => {
        const home = document.querySelector('#sheet');
        Object.assign(home.style, { width: `${wide}px` });
        return [home.offsetHeight, [...home.querySelectorAll('canvas')].filter((one) => one.checkVisibility()).map((one) => one.clientHeight)];
      }, width - 91);
      assert.ok(sheet <= inside && sheet > 0.94 * inside, `${width} x ${height}: ${sheet} of ${inside}`);
      assert.ok(maps.length === 1 && maps[0] >= map, `${width} x ${height}: ${maps}`);
    }
    await visit.end();
  });

  test('the sheet carries no range of another state', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    await page.locator('#forecast').scrollIntoViewIfNeeded();
    await page.locator('.range-band:not(.waits)').waitFor();
    let go = null;
    const held = new Promise((resolve) => (go = resolve));
    await page.route('**/api/range', async (route) => {
      await held;
      await route.continue().catch(() => {});
    });
    const sheet = async () => {
      await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
      const [marks, text] = [await page.locator('#sheet :is(.range-band, .range-middle, .marking)').count(), await page.locator('#sheet').textContent()];
      await page.evaluate(() => dispatchEvent(new Event('afterprint')));
      return [marks, text];
    };
    assert.equal((await sheet())[0], 3, 'band, middle and marking of this state');
    await visit.type('rig.load_kn', 12);
    await page.waitForFunction(() => /^At 12/.test(document.querySelector('#sentence').textContent) && document.querySelector('#weakest').getAttribute('aria-busy') === 'false');
    const [marks, text] = await sheet();
    assert.equal(marks, 0);
    assert.match(text, /The 90 % range of this state was still being worked out when this was printed\./);
    go();
    await visit.end();
  });

  test('printed from a phone it is the same sheet, however much was changed', async () => {
    const visit = await Visit.open(bench.browser, bench.address, PHONE, '#v=1&model=broadbar-alu');
    const { page } = visit;
    const many = await page.evaluate(async () => {
      const told = await (await fetch('./api/start')).json();
      const { values } = told.models.find((m) => m.name === 'broadbar-alu');
      return told.parameters.filter((p) => p.kind === 'number' && p.slider && Number(values[p.key]) > 0).map((p) => [p.key, Number(values[p.key]) * 1.001]);
    });
    assert.ok(many.length > 20, `${many.length} values`);
    await page.evaluate((hash) => (location.hash = hash), `v=1&model=broadbar-alu&${new URLSearchParams(many)}`);
    await visit.settled();
    for (const paper of ['A4', 'Letter']) assert.equal(pages(await print(page, paper)), 1, paper);
    await visit.end();
  });
}
