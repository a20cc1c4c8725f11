// What is shown of a state that is no longer set says so; what is taken along is of one state.

import assert from 'node:assert/strict';
import test from 'node:test';
import { Visit, alike, only } from './bench.mjs';

/** Holds what the page asks of some addresses until it is let go. */
async function hold(page, addresses) {
  let go = null;
  const held = new Promise((resolve) => (go = resolve));
  for (const address of addresses) {
    await page.route(`**/api/${address}`, async (route) => {
      await held;
      await route.continue();
    });
  }
  return go;
}

const right = (visit) => visit.page.locator('#handle-upper').press('ArrowRight');

export function stale(bench) {
  test('charts and the forecast of another state are greyed and say so in words', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    await page.locator('#charts').scrollIntoViewIfNeeded();
    for (const what of ['share', 'forecast']) await page.locator(`#chart-${what} svg`).waitFor();
    await page.locator('#forecast').scrollIntoViewIfNeeded();
    await page.locator('#forecast-bars details').first().waitFor();
    await visit.settled();
    const marks = () => page.locator('#chart-share, #chart-forecast, #forecast-bars').evaluateAll((all) => all.map((one) => {
      const note = one.previousElementSibling;
      return [one.id, one.classList.contains('waits'), one.getAttribute('aria-busy') === 'true', note?.matches('.another') && !note.hidden ? note.textContent : ''];
    }));
    const none = ['chart-share', 'chart-forecast', 'forecast-bars'].map((id) => [id, false, false, '']);
    const drawn = () => page.locator('#chart-share svg').evaluate((svg) => svg.outerHTML);
    const before = await drawn();
    const go = await hold(page, ['chart', 'limits']);
    await right(visit);
    assert.deepEqual(await marks(), [
      ['chart-share', true, true, 'From the state before; being drawn again.'],
      ['chart-forecast', true, true, 'From the state before; being drawn again.'],
      ['forecast-bars', true, true, 'From the state before; the forecast of this one is being worked out.'],
    ]);
    assert.ok((await drawn()) === before);
    // Back where they are of: they hold again at once, nothing is asked for.
    await page.locator('#undo').click();
    assert.deepEqual((await marks()).slice(0, 2), none.slice(0, 2));
    await right(visit);
    go();
    // What nobody sees waits until it is seen.
    for (const id of ['charts', 'forecast-bars']) {
      await page.locator(`#${id}`).scrollIntoViewIfNeeded();
      await page.waitForFunction((one) => !document.querySelector(`#${one}.waits, #${one} .waits`), id);
    }
    await visit.settled();
    assert.deepEqual(await marks(), none);
    assert.ok((await drawn()) !== before, 'drawn again');
    // Nothing is promised for a state that cannot be built.
    await visit.type('rig.upper.offset_mm', 99);
    await page.locator('#mistakes:not([hidden])').waitFor();
    assert.deepEqual((await marks()).map(([, waits, busy, words]) => [waits, busy, words]), none.map(() => [true, true, 'From the state before.']));
    await visit.end({ refused: [422] });
  });

  test('a chart of another measure is not clickable until the one that is wanted is drawn', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    await page.locator('#charts').scrollIntoViewIfNeeded();
    for (const what of ['share', 'forecast']) await page.locator(`#chart-${what} svg`).waitFor();
    await visit.settled();
    for (const rows of await page.locator('#charts .rows').all()) await rows.evaluate((one) => (one.open = true));
    const ways = () => page.locator('#charts .rows button').evaluateAll((all) => all.filter((one) => !one.disabled).length);
    assert.ok((await ways()) > 10);
    const go = await hold(page, ['chart']);
    await page.locator('#chart-key').selectOption('nose.notch_depth_mm');
    const before = visit.state();
    for (const what of ['share', 'forecast']) {
      assert.equal(await page.locator(`#chart-${what}`).evaluate((one) => one.previousElementSibling.textContent), 'Another measure; being drawn again.');
      await page.locator(`#chart-${what}`).click({ position: { x: 120, y: 120 } });
    }
    assert.equal(await ways(), 0);
    await page.waitForTimeout(500);
    assert.deepEqual(visit.state(), before, 'a click goes nowhere');
    go();
    await page.waitForFunction(() => !document.querySelector('#chart-share.waits, #chart-forecast.waits'));
    await visit.settled();
    assert.ok((await ways()) > 4);
    await page.locator('#chart-share').click({ position: { x: 120, y: 120 } });
    await visit.settled();
    assert.deepEqual(Object.keys(visit.state().set), ['nose.notch_depth_mm']);
    await visit.end();
  });

  test('charts tell how far they have come, and can be called off and asked for again', only('chromium', 'Firefox\u2019s driver does not tell what a request posted'), async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    // What is being drawn is given up for another question.
    const forecast = (request) => request.url().endsWith('/api/chart') && request.postDataJSON().what === 'forecast';
    await page.route('**/api/chart', (route) => (forecast(route.request()) ? undefined : route.continue()));
    await Promise.all([page.waitForRequest(forecast), page.locator('#charts').scrollIntoViewIfNeeded()]);
    await page.unroute('**/api/chart');
    const [given] = await Promise.all([page.waitForEvent('requestfailed', forecast), page.locator('#chart-key').selectOption('rig.load_kn')]);
    assert.match(given.postDataJSON().key, /offset/);
    for (const what of ['share', 'forecast']) await page.locator(`#chart-${what} svg`).waitFor();
    await visit.settled();
    const drawn = await page.locator('#chart-forecast svg').evaluate((svg) => svg.outerHTML);
    const under = page.locator('[data-test="charts-under-way"]');
    // A quick program would have drawn it before anybody could press a button: its answer is handed on late.
    await page.route('**/api/chart', async (route) => {
      const response = await route.fetch().catch(() => null);
      await page.waitForTimeout(1500);
      await (response ? route.fulfill({ response }) : route.abort()).catch(() => null);
    });
    await page.locator('#chart-key').selectOption('nose.notch_depth_mm');
    await under.getByText(/^Solved \d+ of \d+\.$/).waitFor();
    await under.getByRole('button', { name: 'Cancel' }).click();
    await under.getByText('Cancelled.').waitFor();
    await page.unrouteAll({ behavior: 'wait' });
    await visit.settled();
    assert.ok((await page.locator('#chart-forecast svg').evaluate((svg) => svg.outerHTML)) === drawn, 'what was there stays');
    assert.equal(await page.locator('#chart-forecast').evaluate((one) => one.previousElementSibling.textContent), 'Another measure.', 'nothing is promised');
    await under.getByRole('button', { name: 'Draw the charts' }).click();
    await page.waitForFunction(() => !document.querySelector('#chart-share.waits, #chart-forecast.waits'));
    await visit.settled();
    assert.equal(await under.innerText(), '');
    assert.ok((await page.locator('#chart-forecast svg').evaluate((svg) => svg.outerHTML)) !== drawn);
    await visit.end();
  });

  test('a card kept right after a drag waits for what fails first in its own state', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    const before = (await visit.text('#weakest')).split('\n').at(-1);
    const go = await hold(page, ['limits']);
    await page.locator('#gate-state label:has([value="open"])').click();
    await page.locator('#keep').click();
    const card = page.locator('[data-kept="A"]');
    await card.locator('.numbers').waitFor();
    const numbers = card.locator('.numbers');
    assert.match(await numbers.innerText(), /First to fail: working it out/);
    assert.equal(await numbers.getAttribute('aria-busy'), 'true');
    assert.doesNotMatch(await card.locator('.difference').innerText(), /first to fail/, 'no difference is made of numbers of another state');
    // The hand goes on; the card's own number comes all the same, and none of another state.
    await page.locator('#gate-state label:has([value="half"])').click();
    go();
    await page.locator('[data-kept="A"] .numbers[aria-busy="false"]').waitFor();
    await visit.settled();
    const told = await page.evaluate(async () => {
      const body = JSON.stringify({ version: 2, session: 'keptcardbench', ticket: 1, state: { model: 'broadbar-alu', set: { 'rig.gate': 'open' } } });
      return (await fetch('/api/limits', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body })).json();
    });
    const own = `${told.limits.fails_first}, ${told.limits.fails_at_kn.toFixed(1)} kN`;
    assert.notEqual(own, before, 'the test would see it');
    assert.ok((await numbers.innerText()).includes(`First to fail: ${own}.`), await numbers.innerText());
    assert.match(await card.locator('.difference').innerText(), /first to fail/);
    await visit.end();
  });

  test('a handle never tells a share of another state', async () => {
    const visit = await Visit.open(bench.browser, bench.address, {}, '', (context) => context.routeWebSocket('**/api/wire', (wire) => wire.close()));
    const { page } = visit;
    const told = async () => page.locator('#handle-upper').getAttribute('aria-valuetext');
    assert.match(await told(), /^centred; the gate carries \d+ percent$/);
    const go = await hold(page, ['solve']);
    await right(visit);
    await page.waitForFunction(() => document.querySelector('#handle-upper').getAttribute('aria-valuetext') === '0.5 mm toward the gate; what the gate carries is being worked out');
    go();
    await visit.settled();
    assert.match(await told(), /^0.5 mm toward the gate; the gate carries \d+ percent$/);
    // Each change of the words is read out: while the hand moves they tell the place, and nothing of a share.
    const moving = await page.evaluate(async () => {
      const handle = document.querySelector('#handle-upper');
      const words = [];
      new MutationObserver(() => document.body.classList.contains('moving') && words.push(handle.getAttribute('aria-valuetext'))).observe(handle, { attributes: true, attributeFilter: ['aria-valuetext'] });
      for (let i = 0; i < 12; i++) {
        handle.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true }));
        await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
      }
      return words;
    });
    await visit.settled();
    assert.ok(moving.length > 0 && moving.every((words) => /^[\d.]+ mm toward the gate$/.test(words)), moving.join('\n'));
    assert.match(await told(), /^6.5 mm toward the gate; the gate carries \d+ percent$/);
    await visit.end();
  });

  test('what is taken along is of the state of the click, and named so', only('chromium', 'the driver reads what is posted'), async () => {
    const visit = await Visit.open(bench.browser, bench.address, {}, '', (context) => context.routeWebSocket('**/api/wire', (wire) => wire.close()));
    const { page } = visit;
    const go = await hold(page, ['svg']);
    await page.locator('#share summary').click();
    const taken = page.waitForEvent('download');
    await page.locator('[data-export="svg"]').click();
    await page.selectOption('#model', 'pear');
    await page.waitForFunction(() => document.querySelector('#title').textContent.startsWith('Pear'));
    go();
    assert.equal((await taken).suggestedFilename(), 'broadbar-alu.svg');

    // A page that is saved before its picture has come: its slider reaches as far as the ends of that state may be moved.
    const sweep = async () => {
      if (!(await page.locator('#share').evaluate((menu) => menu.open))) await page.locator('#share summary').click();
      const [request] = await Promise.all([page.waitForRequest('**/api/page'), page.locator('[data-export="page"]').click()]);
      await page.locator('[data-export="page"]:enabled').waitFor();
      const { state, sweep: told } = request.postDataJSON();
      return [state.model, told.from, told.to];
    };
    await page.route('**/api/page', (route) => route.fulfill({ body: '' }));
    const pear = await sweep();
    await page.selectOption('#model', 'broadbar-alu');
    await visit.settled();
    const before = await sweep();
    assert.notDeepEqual(pear.slice(1), before.slice(1), 'the test would see it');
    await page.route('**/api/solve', (route) => (route.request().postDataJSON().want.quick ? new Promise(() => {}) : route.continue()));
    await page.selectOption('#model', 'pear');
    assert.deepEqual(await sweep(), pear);
    await visit.context.close();
  });
}
