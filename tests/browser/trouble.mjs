// What the page says when the program refuses a state, is silent, or is gone: what it still shows, never a number of another state.

import assert from 'node:assert/strict';
import test from 'node:test';
import { Visit, alike, findings, serve, shown } from './bench.mjs';

/** The page says what it still shows by then, ms. */
const AT_ONCE = 1000;

const handle = async (visit) => Number(await visit.page.locator('#handle-upper').getAttribute('aria-valuenow'));
const saysWhatItShows = (visit, words) => visit.page.locator('#mistakes:not([hidden])', { hasText: words }).filter({ hasText: 'last state that was solved' }).waitFor({ timeout: AT_ONCE });

/** A server and a page of its own, both ended in the end. */
async function alone(bench, t, hash = '') {
  const server = await serve();
  t.after(() => server.child.kill('SIGKILL'));
  const visit = await Visit.open(bench.browser, server.address, {}, hash);
  t.after(() => visit.context.close());
  return { server, visit };
}

export function trouble(bench) {
  test('a refused offset puts strap and handle back to what is shown', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const picture = () => visit.page.locator('#picture').evaluate((canvas) => canvas.toDataURL());
    await visit.showsTheShare();
    const [before, at] = [await picture(), await handle(visit)];
    await visit.type('rig.upper.offset_mm', 99);
    await saysWhatItShows(visit, 'is not possible');
    assert.equal(await visit.page.locator('#controls [data-key="rig.upper.offset_mm"] input[type="text"]').inputValue(), '99');
    await visit.settled();
    assert.equal(await handle(visit), at, 'the handle is where the picture has it');
    assert.ok((await picture()) === before, 'the picture is of one state');
    // The next step of the hand starts from there.
    await visit.page.locator('#handle-upper').press('ArrowRight');
    const found = await visit.showsTheShare();
    assert.equal(await handle(visit), 0.5);
    assert.ok(await visit.page.locator('#mistakes').isHidden());
    assert.ok((await visit.text('#weakest')).toLowerCase().includes('fails first'));
    assert.equal(await visit.text('#gate-kn'), shown(found.share.gate_kn));
    await visit.end({ refused: [422] });
  });

  test('what is refused is told clear of the picture, with the value, what is allowed and what to do', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const clear = async () => {
      for (const [width, height] of [[1440, 900], [1024, 1366], [390, 844], [844, 390]]) {
        await visit.page.setViewportSize({ width, height });
        await visit.page.evaluate(() => scrollTo(0, 0));
        const [told, stage] = await Promise.all([visit.page.locator('#mistakes'), visit.page.locator('#stage')].map((one) => one.boundingBox()));
        const apart = told.y >= stage.y + stage.height - 1 || told.y + told.height <= stage.y + 1 || told.x >= stage.x + stage.width - 1 || told.x + told.width <= stage.x + 1;
        assert.ok(apart, `${width} x ${height}: ${JSON.stringify({ told, stage })}`);
        assert.ok(told.y >= 0 && told.y + told.height <= height, `${width} x ${height}: in sight`);
      }
    };
    await visit.type('rig.upper.offset_mm', 99);
    await visit.page.locator('#mistakes', { hasText: 'upper offset, set to 99 mm' }).waitFor();
    assert.doesNotMatch(await visit.text('#mistakes'), /_mm/, 'no key of a file');
    await clear();
    // Of what was pasted its beginning. The second engine's driver types letter by letter, some 3 ms each.
    await visit.type('rig.upper.offset_mm', 'x'.repeat(400));
    await visit.page.locator('#mistakes', { hasText: `upper offset, set to ${'x'.repeat(40)}...:` }).waitFor();
    await visit.type('rig.upper.offset_mm', 0);
    await visit.type('nose.notch_depth_mm', '40-60');
    const box = visit.page.locator('#mistakes:not([hidden])');
    await box.waitFor();
    const words = await box.innerText();
    for (const part of [/Nose and notch, notch depth, set to 40-60/, /40 mm in 40-60/, /allowed: 0\.3 to 30 mm/, /Set what is allowed, or undo/]) assert.match(words, part);
    await clear();
    await visit.end({ refused: [422] });
  });

  test('a program that is held says so within a second, and all goes on with it', async (t) => {
    const { server, visit } = await alone(bench, t);
    const before = await visit.text('#gate-kn');
    server.child.kill('SIGSTOP');
    t.after(() => server.child.kill('SIGCONT'));
    await visit.page.locator('#handle-upper').press('Shift+ArrowRight');
    await saysWhatItShows(visit, 'not answered');
    assert.equal(await handle(visit), 0, 'the handle is where the picture has it');
    assert.equal(await visit.text('#gate-kn'), before);
    server.child.kill('SIGCONT');
    await visit.page.locator('#mistakes').waitFor({ state: 'hidden' });
    await visit.showsTheShare();
    assert.equal(await handle(visit), 5);
    await visit.end();
    await server.end();
  });

  test('a program that was killed is told, and found again when it is back', async (t) => {
    const { server, visit } = await alone(bench, t);
    await visit.page.locator('#handle-upper').press('ArrowRight');
    await visit.settled();
    server.child.kill('SIGKILL');
    await server.ended;
    // Told without any hand on the page.
    await saysWhatItShows(visit, 'cannot be reached');
    await visit.page.locator('#handle-upper').press('Shift+ArrowRight');
    await visit.page.waitForTimeout(100);
    assert.equal(await handle(visit), 0.5, 'the handle is where the picture has it');
    const again = await serve('--port', new URL(server.address).port);
    t.after(() => again.child.kill('SIGKILL'));
    await visit.page.locator('#mistakes').waitFor({ state: 'hidden' });
    await visit.settled();
    assert.equal(visit.state().set['rig.upper.offset_mm'], '5.5');
    const found = findings('broadbar-alu', { 'rig.upper.offset_mm': 5.5, 'rig.lower.offset_mm': 5.5 });
    assert.equal(await visit.text('#gate-kn'), shown(found.share.gate_kn));
    assert.equal(await handle(visit), 5.5);
    await again.end();
  });

  test('a program that comes back by itself leaves nothing untold that was told before', alike, async (t) => {
    const { server, visit } = await alone(bench, t, '#v=1&model=broadbar-alu&rig.load_kn=28');
    const told = async () => [await visit.text('#sentence'), await visit.text('#hazards'), await visit.text('#notch'), await visit.text('#warnings'), await visit.text('#weakest')];
    await visit.page.locator('#weakest[aria-busy="false"]').waitFor();
    await visit.settled();
    const before = await told();
    assert.match(before.join(' '), /would have/);
    server.child.kill('SIGKILL');
    await server.ended;
    await saysWhatItShows(visit, 'cannot be reached');
    const again = await serve('--port', new URL(server.address).port);
    t.after(() => again.child.kill('SIGKILL'));
    await visit.page.locator('#mistakes').waitFor({ state: 'hidden' });
    await visit.settled();
    assert.deepEqual(await told(), before);
    await again.end();
  });

  test('what fails first is of the state that is shown, or says that it is not', async (t) => {
    let open = null;
    const held = new Promise((go) => (open = go));
    const visit = await Visit.open(bench.browser, bench.address);
    t.after(() => visit.context.close());
    const stamp = async () => [(await visit.text('#weakest')).toLowerCase(), await visit.page.locator('#weakest').getAttribute('aria-busy')];
    const [first] = await stamp();
    const story = await visit.text('#tells');
    assert.ok(story.length > 20, story);
    const words = await visit.page.locator('#picture-words').textContent();
    assert.match(words, /First to fail/);
    await visit.page.route('**/api/limits', async (route) => {
      await held;
      await route.continue();
    });
    const sentence = await visit.text('#sentence');
    await visit.page.locator('#gate-state label:has([value="open"])').click();
    await visit.page.waitForFunction((was) => document.querySelector('#sentence').textContent !== was, sentence);
    await visit.page.waitForTimeout(700);
    const [old, busy] = await stamp();
    assert.equal(busy, 'true', 'marked as not yet');
    assert.match(old, /before/);
    assert.equal(await visit.text('#tells'), `Before: ${story}`, 'the story is of the same answer, and says so');
    assert.equal(old.split(/before\s*/)[1], first.split(/first\s*/)[1]);
    assert.doesNotMatch(await visit.page.locator('#picture-words').textContent(), /First to fail/, 'not told of another state');
    open();
    await visit.page.locator('#weakest[aria-busy="false"]').waitFor();
    await visit.settled();
    assert.notEqual((await stamp())[0], first);
    assert.doesNotMatch(await visit.text('#tells'), /^Before/);
  });
}
