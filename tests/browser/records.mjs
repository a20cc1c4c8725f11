// The records of the bench in the page: a trace that is dropped, a forecast recorded before its pull, its result, the list, the lot. Every
// number is that of the command on the same file.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { copyFileSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import test from 'node:test';
import { BINARY, PHONE, Visit, folder, serve, shown } from './bench.mjs';

const trace = (name) => new URL(`../../bench/traces/${name}`, import.meta.url).pathname;
const LOGBOOK = 'pullmap-logbook.sqlite';

/** Runs a command in a folder. */
const run = (home, ...words) => execFileSync(BINARY, words, { cwd: home.path, maxBuffer: 1 << 26 }).toString();
const json = (home, ...words) => JSON.parse(run(home, ...words, '--json'));

/** A server with a logbook of its own, gone afterwards. */
async function withLogbook(act, prepare = () => {}) {
  const home = folder();
  prepare(home);
  const server = await serve('--logbook', join(home.path, LOGBOOK));
  try {
    await act(home, server.address);
  } finally {
    await server.end();
    home.end();
  }
}

/** Pulls of two samples, typed in by the command. */
function pulls(home) {
  for (const [sample, peak, outcome] of [['SB-1', '22.1', 'broke'], ['SB-2', '23', 'broke'], ['SB-3', '19.4', 'strap broke'], ['other', '9', 'stopped']]) {
    run(home, 'log', 'add', '--sample', sample, '--peak', peak, '--outcome', outcome, '--marking', '20');
  }
}

/** Drops a file on an element, as a hand does from another window. */
async function drop(page, selector, name, bytes, type = '') {
  const data = await page.evaluateHandle(([name, text, type]) => {
    const transfer = new DataTransfer();
    transfer.items.add(new File([Uint8Array.from(atob(text), (c) => c.charCodeAt(0))], name, { type }));
    return transfer;
  }, [name, Buffer.from(bytes).toString('base64'), type]);
  for (const event of ['dragover', 'drop']) await page.dispatchEvent(selector, event, { dataTransfer: data });
}

/** Waits until an element says something that matches, and gives it. */
async function says(page, selector, pattern) {
  const one = page.locator(selector);
  await one.filter({ hasText: pattern }).first().waitFor();
  return one.innerText();
}

async function fits(page, what) {
  const [wide, room] = await page.evaluate(() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]);
  assert.ok(wide <= room, `${what}: ${wide} of ${room}`);
}

export function records(bench) {
  test('a trace that is dropped anywhere is read as the command reads it', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    const home = folder();
    const [file] = json(home, 'trace', trace('sb-01.csv')).files;
    await drop(page, '#stage', 'sb-01.csv', readFileSync(trace('sb-01.csv')));
    const words = await says(page, '#trace-answer', 'sb-01.csv');
    assert.ok(words.includes(file.cells[0].sentence), words);
    assert.ok(words.includes(`${file.cells[0].peak_kn.toFixed(2)} kN`), words);
    assert.ok(words.includes('Readings of single pulls'), 'the caution stands beside it');
    await page.locator('#trace-answer svg').waitFor();
    assert.equal(await page.locator('#trace-answer svg').getAttribute('viewBox'), '0 0 1600 1200');
    await page.locator('[data-test="trace-understood"] summary').click();
    assert.ok((await visit.text('[data-test="trace-understood"]')).includes(file.understood[0]));
    await visit.accessible('a trace is read');
    home.end();
    await visit.end();
  });

  test('what a trace leaves open is asked by its field, and a file that is none is told', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    const curve = `time s,load\n${Array.from({ length: 60 }, (_, i) => `${(i / 10).toFixed(1)},${40 * i}`).join('\n')}\n6.0,0\n6.1,0\n`;
    await drop(page, '#stage', 'bare.csv', curve);
    const unit = page.locator('#trace select').first();
    await page.locator('#trace select[aria-invalid="true"]').waitFor();
    await says(page, '#trace .mistake:visible', 'has no unit');
    await visit.accessible('the unit is asked for');
    await unit.selectOption('lbf');
    await page.locator('[data-test="trace-again"]').click();
    const kn = 59 * 40 * 0.0044482216152605;
    assert.ok((await says(page, '#trace-answer', 'The load reached')).includes(shown(kn)));
    await drop(page, '#stage', 'broken.csv', curve.replace('2.0,800', '2.0,eight'));
    assert.match(await says(page, '[data-test="trace-said"]', 'Line 22'), /eight/);
    await drop(page, '#stage', 'notes.bin', 'PK\u0003\u0004\0\0\0');
    await says(page, '[data-test="trace-said"]', 'neither a model file nor a trace');
    assert.equal(await page.locator('#trace-answer svg').count(), 0, 'nothing of the file before is left');
    await visit.end({ refused: [422] });
  });

  test('a model file that is dropped is opened, a photo laid under the outline', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    const model = readFileSync(new URL('../../models/pear.toml', import.meta.url), 'utf8').replace(/^title = .*$/m, 'title = "Dropped"');
    await drop(page, '#stage', 'mine.txt', model);
    await page.waitForFunction(() => document.title.startsWith('Dropped'));
    const dot = await page.evaluate(() => Object.assign(document.createElement('canvas'), { width: 40, height: 30 }).toDataURL('image/png').split(',')[1]);
    await drop(page, '#records', 'dot.png', Buffer.from(dot, 'base64'), 'image/png');
    await says(page, '[data-test="photo-status"]', 'how large');
    await visit.settled();
    await visit.end();
  });

  test('a forecast is recorded before its pull, and its result beside it', () => withLogbook(async (home, address) => {
    const visit = await Visit.open(bench.browser, address, {}, '#v=1&model=oval&rig.both.offset_mm=2');
    const { page } = visit;
    await page.locator('#records').scrollIntoViewIfNeeded();
    await says(page, '[data-test="pulls-said"]', 'no logbook yet');
    await page.locator('[data-test="plan"]').click();
    await says(page, '#record-forecast .mistake:visible', 'name of the sample');
    assert.ok(!existsSync(join(home.path, LOGBOOK)), 'what is refused makes no logbook');
    await page.locator('[data-test="plan-form"] input').first().fill('R7');
    await page.locator('[data-test="plan"]').click();
    const words = await says(page, '[data-test="plan-said"]', 'Pull 1 is planned');
    assert.ok(words.includes('once there is a result it cannot be changed'), words);
    const { forecast, plan } = json(home, 'log', 'show', '1');
    for (const kn of [forecast.p5_kn, forecast.p95_kn]) assert.ok(words.includes(kn.toFixed(1)), words);
    assert.ok(words.includes(shown(forecast.p50_kn)), words);
    assert.deepEqual([plan.sample, plan.model.name, plan.gate], ['R7', 'oval', 'closed']);
    const told = json(home, 'forecast', 'oval', '--set', 'rig.both.offset_mm=2');
    assert.deepEqual([forecast.p5_kn, forecast.p50_kn, forecast.p95_kn], ['p5', 'p50', 'p95'].map((part) => told.range_kn[part]), 'the state that the page shows');

    // The result: mistakes beside their fields, then with the trace that is dropped on the form.
    await page.locator('[data-test="plan-see"]').click();
    await page.locator('[data-test="result-form"]').waitFor();
    await page.locator('[data-test="result-record"]').click();
    await says(page, '[data-test="result-form"] .mistake:visible', 'a load in kN');
    await visit.accessible('a planned pull is open');
    await drop(page, '[data-test="result-form"]', 'sb-01.csv', readFileSync(trace('sb-01.csv')));
    await says(page, '[data-test="result-traced"]', '22.39 kN');
    const [outcome, place] = [0, 1].map((i) => page.locator('[data-test="result-form"] select').nth(i));
    await outcome.selectOption('broke');
    await place.selectOption('spine');
    await page.locator('[data-test="result-record"]').click();
    const recorded = await says(page, '[data-test="result-said"]', 'Pull 1 is recorded');
    const show = json(home, 'log', 'show', '1');
    assert.ok(recorded.includes(show.sentence) && recorded.includes('The peak is that of the trace: 22.39 kN'), recorded);
    assert.deepEqual([show.result.peak.entered, show.result.outcome, show.result.place, show.result.trace.name], ['22.39 kN', 'broke', 'spine', 'sb-01.csv']);
    assert.equal(await page.locator('[data-test="result-form"]').count(), 0, 'it is recorded once');
    const row = await says(page, '[data-pull="1"]', 'spine');
    assert.ok(row.includes('22.4 kN') && row.includes('the forecast'), row);

    // Its model comes back on the bench.
    await page.locator('#model').selectOption('pear');
    await page.waitForFunction(() => location.hash.includes('model=pear'));
    await page.locator('[data-test="pull-show-state"]').click();
    await page.waitForFunction(() => location.hash.includes('rig.upper.offset_mm=2'));
    assert.deepEqual(visit.state(), { model: 'oval', set: { 'rig.upper.offset_mm': '2', 'rig.lower.offset_mm': '2' } });
    await visit.settled();
    await visit.end({ refused: [422] });
  }));

  test('pulls are listed and narrowed, and a lot is judged as by the command', () => withLogbook(async (home, address) => {
    const visit = await Visit.open(bench.browser, address);
    const { page } = visit;
    await page.locator('#records').scrollIntoViewIfNeeded();
    await says(page, '[data-test="pulls-said"]', '4 pulls.');
    const numbers = () => page.locator('[data-pull]').evaluateAll((rows) => rows.map((row) => Number(row.dataset.pull)));
    assert.deepEqual(await numbers(), [4, 3, 2, 1]);
    await page.locator('#pulls input').first().fill('sb-*');
    await says(page, '[data-test="pulls-said"]', '3 pulls.');
    assert.deepEqual(await numbers(), [3, 2, 1]);
    await page.locator('[data-pull="3"] button').press('Enter');
    assert.match(await says(page, '.opened-pull', 'Pull 3: SB-3'), /strap broke/);
    await page.locator('[data-test="record-close"]').press('Enter');
    assert.equal(await page.evaluate(() => document.activeElement.closest('[data-pull]')?.dataset.pull), '3', 'the focus goes back to its row');
    await page.locator('[data-test="ask-lot"]').click();
    const lot = json(home, 'lot', '--sample', 'sb-*');
    assert.ok((await says(page, '[data-test="lot-answer"]', lot.title)).includes(lot.sentence));
    await page.locator('#lot input').first().fill('24,x');
    await page.locator('[data-test="ask-lot"]').click();
    await says(page, '#lot .mistake:visible', 'value 2');
    await page.locator('#lot input').first().fill('24,23,22+');
    await page.locator('[data-test="ask-lot"]').click();
    const typed = json(home, 'lot', '--values', '24,23,22+');
    assert.ok((await says(page, '[data-test="lot-answer"]', 'typed peaks')).includes(typed.sentence));
    assert.ok((await visit.text('#lot')).includes('Statistics of a few pulls'));
    await visit.accessible('list and lot');
    // Another program's file takes the place of the logbook: told where it is listed, and the page goes on.
    writeFileSync(join(home.path, LOGBOOK), 'something else\n');
    await page.locator('[data-test="pulls-again"]').click();
    await says(page, '[data-test="pulls-said"]', /not a logbook|damaged/);
    await visit.showsTheShare();
    await visit.end({ refused: [422] });
  }, pulls));

  test('on a phone nothing of the records hangs over, and pictures stand upright', () => withLogbook(async (home, address) => {
    const visit = await Visit.open(bench.browser, address, PHONE);
    const { page } = visit;
    await page.locator('#trace-file').setInputFiles(trace('sb-02.csv'));
    await page.locator('#trace-answer svg').waitFor();
    run(home, 'trace', trace('sb-02.csv'), '--out', 'drawn');
    const [view] = readFileSync(join(home.path, 'drawn', 'trace-phone.svg'), 'utf8').match(/viewBox="[^"]*"/);
    assert.equal(`viewBox="${await page.locator('#trace-answer svg').getAttribute('viewBox')}"`, view);
    await page.locator('#pulls').scrollIntoViewIfNeeded();
    await page.locator('[data-pull="2"] button').click();
    await says(page, '.opened-pull', 'Pull 2: SB-2');
    await page.locator('[data-test="ask-lot"]').click();
    await page.locator('[data-test="lot-answer"] svg').waitFor();
    await fits(page, 'trace, pull and lot');
    await visit.accessible('records on a phone');
    await visit.end();
  }, pulls));

  test('a page that is open to other machines records nothing and says so', async () => {
    const home = folder();
    pulls(home);
    copyFileSync(join(home.path, LOGBOOK), join(home.path, 'before.sqlite'));
    const server = await serve('--logbook', join(home.path, LOGBOOK), '--address', '0.0.0.0');
    const port = new URL(server.address).port;
    const visit = await Visit.open(bench.browser, `http://127.0.0.1:${port}/`);
    await says(visit.page, '#record-forecast', 'nothing is recorded through it');
    assert.equal(await visit.page.locator('[data-test="plan"]').count(), 0);
    await visit.page.locator('#pulls').scrollIntoViewIfNeeded();
    await says(visit.page, '[data-test="pulls-said"]', '4 pulls.');
    await visit.end();
    server.child.kill('SIGINT');
    await server.ended;
    assert.ok(readFileSync(join(home.path, LOGBOOK)).equals(readFileSync(join(home.path, 'before.sqlite'))));
    home.end();
  });
}
