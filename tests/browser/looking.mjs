// How the picture is looked at: nearer, moved, read, in other colours, bent. By mouse, fingers and keys.

import assert from 'node:assert/strict';
import test from 'node:test';
import { PHONE, Visit, only } from './bench.mjs';

const picture = (visit) => visit.page.locator('#picture').evaluate((canvas) => canvas.toDataURL());

/** Waits until one looks as near as the test says. */
async function zoomed(visit, test) {
  const zoom = async () => Number(await visit.page.locator('#stage').getAttribute('data-zoom'));
  for (const end = Date.now() + 20000; !test(await zoom()); ) {
    assert.ok(Date.now() < end, `zoomed ${await zoom()} times; wanted: ${test}`);
    await visit.page.waitForTimeout(30);
  }
}

/** A place of the page, on the spine at mid height, and what stands there. */
async function spine(visit) {
  const box = await visit.page.locator('#picture').boundingBox();
  for (let i = 1; i < 40; i++) {
    const at = [Math.round(box.x + (box.width * i) / 60), Math.round(box.y + box.height / 2)];
    await visit.page.mouse.move(...at);
    const words = await visit.page.locator('#reading').textContent();
    if (/MPa.*spine/.test(words)) {
      await visit.page.mouse.move(at[0] + 4, at[1]);
      return { at: [at[0] + 4, at[1]], words: await visit.page.locator('#reading').textContent() };
    }
  }
  throw new Error('no spine under the pointer');
}

const stress = (words) => Number(words.match(/(\d+) MPa/)[1]);

/** Fingers on the glass, as the browser hears of them. */
async function fingers(visit) {
  const session = await visit.context.newCDPSession(visit.page);
  const send = (type, points) => session.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
  return {
    down: (...points) => send('touchStart', points),
    move: (...points) => send('touchMove', points),
    up: () => send('touchEnd', []),
  };
}

export function looking(bench) {
  test('the wheel scrolls the page, with Ctrl it zooms about the pointer; the mouse moves the picture', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { keyboard, mouse } = visit.page;
    await spine(visit);
    await mouse.wheel(0, 300);
    await visit.page.waitForFunction(() => scrollY === 300);
    assert.equal(await visit.page.locator('#stage').getAttribute('data-zoom'), '1', 'the wheel alone scrolls');
    await mouse.wheel(0, -300);
    await visit.page.waitForFunction(() => scrollY === 0);
    const { at, words } = await spine(visit);
    await keyboard.down('Control');
    // One notch is a step, not a leap.
    await mouse.wheel(0, -120);
    await zoomed(visit, (z) => z > 1.1 && z < 1.5);
    for (let i = 0; i < 3; i++) await mouse.wheel(0, -120);
    await zoomed(visit, (z) => z > 2);
    await keyboard.up('Control');
    assert.equal(await visit.page.evaluate(() => scrollY), 0);
    await mouse.move(at[0], at[1]);
    const near = await visit.text('#reading');
    assert.ok(Math.abs(stress(near) - stress(words)) <= 3, `${words} stays under the pointer: ${near}`);
    // What is under the pointer goes with it.
    await visit.drag(at, [at[0] + 60, at[1] + 25]);
    const moved = await visit.text('#reading');
    assert.ok(Math.abs(stress(moved) - stress(near)) <= 3, `${near} goes with the pointer: ${moved}`);
    assert.deepEqual(visit.state().set, {}, 'nothing else was moved');
    await visit.page.locator('#zoom-fit').click();
    await zoomed(visit, (z) => z === 1);
    await visit.page.locator('#zoom-in').click();
    await zoomed(visit, (z) => z > 1.3);
    await visit.page.locator('#zoom-out').click();
    await zoomed(visit, (z) => z === 1);
    await visit.end();
  });

  test('keys read the stress, zoom and move', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { keyboard } = visit.page;
    await visit.judged();
    const whole = await picture(visit);
    await visit.page.locator('#picture').focus();
    await keyboard.press('ArrowRight');
    // Help stands under the picture, not over it.
    const [help, stage] = [await visit.page.locator('.keys').boundingBox(), await visit.page.locator('#stage').boundingBox()];
    assert.ok(help.y >= stage.y + stage.height, `${help.y} under ${stage.y + stage.height}`);
    assert.match(await visit.text('#reading'), /MPa|beside the connector/);
    await keyboard.press('+');
    await keyboard.press('+');
    await zoomed(visit, (z) => z > 1.6);
    const near = await picture(visit);
    await keyboard.press('Shift+ArrowRight');
    await visit.page.waitForFunction((before) => document.querySelector('#picture').toDataURL() !== before, near);
    await keyboard.press('-');
    await zoomed(visit, (z) => z < 1.5);
    await keyboard.press('0');
    await zoomed(visit, (z) => z === 1);
    await keyboard.press('Escape');
    assert.ok(await visit.page.locator('#reading').isHidden());
    // Where nothing hovers, the help stands there only as long as the picture has the focus.
    await visit.page.locator('#picture').evaluate((one) => one.blur());
    await visit.judged();
    assert.ok((await picture(visit)) === whole, 'the whole picture is as it was');
    await visit.end();
  });

  test('two fingers zoom, one on the picture scrolls the page, one on the strap moves it', only('chromium', 'no fingers can be laid on the glass elsewhere'), async () => {
    const visit = await Visit.open(bench.browser, bench.address, PHONE);
    const touch = await fingers(visit);
    const [x, y] = await visit.middle('#stage');
    await touch.down([x - 30, y], [x + 30, y]);
    for (let i = 1; i <= 8; i++) await touch.move([x - 30 - 5 * i, y], [x + 30 + 5 * i, y]);
    await touch.up();
    await zoomed(visit, (z) => z > 1.8 && z < 3);
    // Zoomed, one finger moves the picture and not the page.
    const near = await picture(visit);
    await touch.down([x, y]);
    for (let i = 1; i <= 6; i++) await touch.move([x - 6 * i, y - 8 * i]);
    await touch.up();
    await visit.settled();
    assert.ok((await picture(visit)) !== near, 'the picture is moved');
    assert.equal(await visit.page.evaluate(() => scrollY), 0);
    await visit.page.locator('#zoom-fit').click();
    await zoomed(visit, (z) => z === 1);
    // A tap reads.
    const box = await visit.page.locator('#stage').boundingBox();
    await visit.page.evaluate(() => scrollTo(0, 0));
    for (let i = 1; i < 30; i++) {
      await visit.page.touchscreen.tap(box.x + (box.width * i) / 60, box.y + box.height / 2);
      if (/MPa/.test(await visit.page.locator('#reading').textContent())) break;
    }
    assert.match(await visit.page.locator('#reading').textContent(), /MPa.*yield/);
    // On the strap, below its handle.
    const [sx, sy] = await visit.middle('#handle-upper');
    const before = await visit.showsTheShare();
    await touch.down([sx, sy + 30]);
    for (let i = 1; i <= 10; i++) await touch.move([sx + 3 * i, sy + 30 + i]);
    await touch.up();
    const after = await visit.showsTheShare();
    assert.ok(after.share.gate_fraction > before.share.gate_fraction + 0.02);
    assert.equal(await visit.page.evaluate(() => scrollY), 0, 'the strap was moved, not the page');
    // Beside the strap a finger scrolls as everywhere.
    await touch.down([x, y + 20]);
    for (let i = 1; i <= 10; i++) await touch.move([x, y + 20 - 15 * i]);
    await touch.up();
    await visit.page.waitForFunction(() => scrollY > 60);
    await visit.end();
  });

  test('other colours, trajectories, ribbon and the bent shape, and back', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    const first = await picture(visit);
    const seen = new Set([first]);
    const look = async (what) => {
      await visit.settled();
      const now = await picture(visit);
      assert.ok(!seen.has(now), `${what} is seen`);
      seen.add(now);
    };
    await page.locator('#field label:has([value="pull"])').click();
    await look('pull and push');
    const { at } = await spine(visit);
    await page.mouse.move(...at);
    assert.match(await visit.text('#reading'), /pulled|pushed/);
    await page.mouse.move(2, 2);
    await page.locator('#field label:has([value="trajectories"])').click();
    await look('trajectories');
    await page.locator('label', { has: page.locator('#ribbon') }).click();
    await look('the ribbon');
    await page.locator('#field label:has([value="mises"])').click();
    await look('the ribbon around the stress');
    await page.locator('#enlarged').fill('12');
    await look('the bent shape');
    assert.match(await visit.text('#enlarged-words'), /12 times/);
    await visit.settled();
    assert.match(page.url(), /view\.enlarged=12/);
    assert.match(page.url(), /view\.ribbon=yes/);
    await page.locator('#enlarged').fill('0');
    await page.locator('label', { has: page.locator('#ribbon') }).click();
    await visit.settled();
    assert.ok((await picture(visit)) === first, 'the same picture again');
    await visit.end();
  });

  test('where drawing is slow a moving hand sees half the pixels, a resting one all of them', only('chromium', 'the machine cannot be slowed down elsewhere'), async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    const wide = () => page.locator('#picture').evaluate((canvas) => canvas.width);
    const full = await wide();
    assert.equal(full, await page.locator('#stage').evaluate((home) => home.clientWidth));
    await page.locator('#picture').evaluate((canvas) => {
      window.widths = new Set();
      new MutationObserver(() => window.widths.add(canvas.width)).observe(canvas, { attributes: true, attributeFilter: ['width'] });
    });
    const machine = await visit.context.newCDPSession(page);
    await machine.send('Emulation.setCPUThrottlingRate', { rate: 8 });
    const [x, y] = await visit.middle('#handle-upper');
    await page.mouse.move(x, y);
    await page.mouse.down();
    const half = () => page.evaluate((n) => [...window.widths].some((w) => Math.abs(w - n / 2) <= 1), full);
    for (let i = 1; i <= 300 && !(i % 20 === 0 && (await half())); i++) await page.mouse.move(x + 40 * Math.sin(i / 5), y);
    assert.ok(await half(), 'half the pixels while the hand moves');
    await page.mouse.up();
    await machine.send('Emulation.setCPUThrottlingRate', { rate: 1 });
    await visit.settled();
    assert.equal(await wide(), full);
    await visit.end();
  });
}
