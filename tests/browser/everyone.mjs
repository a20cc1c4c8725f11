// For everyone: phone and wide screens, light and dark, a finger, a screen reader.

import assert from 'node:assert/strict';
import test from 'node:test';
import { PHONE, Visit, alike, only } from './bench.mjs';

const openAll = (page) => page.evaluate(() => document.querySelectorAll('#controls details').forEach((one) => (one.open = true)));

async function fits(page, what) {
  const wide = await page.evaluate(() => {
    const room = document.documentElement.clientWidth;
    const over = [...document.querySelectorAll('body *')].filter((e) => e.checkVisibility() && !e.closest('.hidden') && e.getBoundingClientRect().right > room + 1 && getComputedStyle(e).position !== 'fixed');
    return [document.documentElement.scrollWidth, room, over.slice(0, 5).map((e) => e.id || e.className || e.tagName).join(', ')];
  });
  assert.ok(wide[0] <= wide[1], `${what}: ${wide.join('; ')}`);
}

export function everyone(bench) {
  for (const colorScheme of ['light', 'dark']) {
    test(`${colorScheme}: nobody is shut out`, alike, async () => {
      const visit = await Visit.open(bench.browser, bench.address, { colorScheme });
      await visit.accessible('as it opens');
      await openAll(visit.page);
      await visit.page.locator('#share summary').click();
      await visit.accessible('all groups and the menu open');
      await visit.page.keyboard.press('Escape');
      for (const id of ['what-if', 'forecast', 'explain', 'photo']) await visit.page.locator(`#${id}`).scrollIntoViewIfNeeded();
      await visit.page.locator('#chart-share svg').waitFor({ timeout: 60000 });
      await visit.settled();
      for (const field of ['pull', 'trajectories']) await visit.page.locator(`#field label:has([value="${field}"])`).click();
      await visit.page.locator('label', { has: visit.page.locator('#ribbon') }).click();
      await visit.settled();
      await visit.accessible('charts drawn, trajectories and ribbon shown');
      await visit.end();
    });

    test(`${colorScheme}: a phone`, colorScheme === 'dark' ? alike : {}, async () => {
      const visit = await Visit.open(bench.browser, bench.address, { ...PHONE, colorScheme });
      await fits(visit.page, 'as it opens');
      await openAll(visit.page);
      await visit.page.locator('#keep').click();
      await visit.page.locator('[data-kept="A"]').waitFor();
      await visit.settled();
      await fits(visit.page, 'all groups open, one kept');
      await visit.accessible('on a phone');
      await visit.end();
    });
  }

  test('a finger drags the strap', only('chromium', 'no fingers can be laid on the glass elsewhere'), async () => {
    const visit = await Visit.open(bench.browser, bench.address, PHONE);
    const before = await visit.showsTheShare();
    const finger = await visit.context.newCDPSession(visit.page);
    await visit.page.locator('#stage').scrollIntoViewIfNeeded();
    const [x, y] = await visit.middle('#handle-upper');
    const touch = (type, at) => finger.send('Input.dispatchTouchEvent', { type, touchPoints: at ? [{ x: at[0], y: at[1] }] : [] });
    await touch('touchStart', [x, y]);
    for (let i = 1; i <= 10; i++) await touch('touchMove', [x + 4 * i, y + i]);
    await touch('touchEnd');
    const after = await visit.showsTheShare();
    assert.ok(after.share.gate_fraction > before.share.gate_fraction + 0.02);
    await visit.end();
  });

  test('from a small window to 4K nothing hangs over', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    for (const [width, height] of [[320, 640], [768, 1024], [1024, 700], [1440, 900], [2560, 1440], [3840, 2160]]) {
      await visit.page.setViewportSize({ width, height });
      await visit.settled();
      await fits(visit.page, `${width} wide`);
      const stage = await visit.page.locator('#stage').boundingBox();
      assert.ok(stage.width >= 280 && stage.height >= 280, `${width}: ${JSON.stringify(stage)}`);
    }
    await visit.end();
  });

  test('the theme is chosen and remembered', async () => {
    const visit = await Visit.open(bench.browser, bench.address, { colorScheme: 'light' });
    const paper = () => visit.page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    const light = await paper();
    await visit.page.locator('#theme').click();
    const dark = await paper();
    assert.notEqual(dark, light);
    await visit.page.reload();
    await visit.page.waitForFunction(() => Number(document.querySelector('#stage').dataset.answer) > 0);
    assert.equal(await paper(), dark);
    await visit.accessible('dark by choice');
    await visit.end();
  });

  test('the picture in words follows the hand, and every part is reached by Tab', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const words = () => visit.page.locator('#picture-words').textContent();
    const before = await words();
    await visit.page.locator('#handle-upper').press('Shift+ArrowRight');
    const found = await visit.showsTheShare();
    assert.notEqual(await words(), before);
    assert.ok((await words()).includes(`the gate ${found.share.gate_kn.toFixed(1)} kN`), await words());
    const wanted = new Set(['handle-upper', 'handle-lower', 'model', 'keep', 'theme', 'picture', 'enlarged', 'zoom-in', 'photo-scale']);
    // From the top: behind the last part comes the browser's own window, and not every driver leads back from there.
    await visit.page.locator('.skip').focus();
    for (let i = 0; i < 120 && wanted.size; i++) {
      await visit.page.keyboard.press('Tab');
      const [id, what, seen] = await visit.page.evaluate(() => {
        const { activeElement: at } = document;
        const style = getComputedStyle(at);
        const child = at.nextElementSibling ? getComputedStyle(at.nextElementSibling) : style;
        return [at.id, at.outerHTML.slice(0, 80), [style, child].some((s) => s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) > 0) || style.boxShadow !== 'none'];
      });
      assert.ok(seen, `the focus is seen on ${what}`);
      wanted.delete(id);
    }
    assert.deepEqual([...wanted], []);
    await visit.end();
  });
}
