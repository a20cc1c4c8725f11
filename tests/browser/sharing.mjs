// What is taken along: files, a link, and a page that needs no program.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import test from 'node:test';
import { pathToFileURL } from 'node:url';
import { BINARY, Visit, download, findings, folder, shown } from './bench.mjs';

const SET = { 'rig.upper.offset_mm': 4, 'rig.lower.offset_mm': 4, 'nose.notch_depth_mm': 3.4 };
const HASH = `#v=1&model=broadbar-alu&${new URLSearchParams(SET)}`;

/** Presses one of the buttons under Share and keeps what the browser saves. */
async function take(bench, visit, what, home) {
  const { page } = visit;
  const menu = page.locator('#share');
  if (!(await menu.evaluate((element) => element.open))) await menu.locator('summary').click();
  return download(bench.browser, page, () => page.locator(`[data-export="${what}"]`).click(), home);
}

export function sharing(bench) {
  test('every format is exported', async (t) => {
    const home = folder();
    t.after(home.end);
    const visit = await Visit.open(bench.browser, bench.address, { permissions: ['clipboard-read', 'clipboard-write'] }, HASH);
    const found = await visit.showsTheShare();
    for (const size of ['1920x1080', '1080x1920', '1080x1080']) {
      const bytes = readFileSync(await take(bench, visit, `still-${size}`, home.path));
      assert.equal(bytes.subarray(1, 4).toString(), 'PNG');
      assert.equal(`${bytes.readUInt32BE(16)}x${bytes.readUInt32BE(20)}`, size);
      assert.ok(bytes.length > 20000, `${size}: ${bytes.length} bytes`);
    }
    const drawing = readFileSync(await take(bench, visit, 'svg', home.path), 'utf8');
    assert.match(drawing, /<svg[^>]+xmlns/);
    assert.ok(drawing.trimEnd().endsWith('</svg>'));
    assert.deepEqual(JSON.parse(readFileSync(await take(bench, visit, 'findings', home.path))), found);

    const model = await take(bench, visit, 'toml', home.path);
    const again = JSON.parse(execFileSync(BINARY, ['map', model, '--json'], { cwd: home.path, maxBuffer: 1 << 26 }));
    assert.deepEqual(again.share, found.share, 'the model file holds the state');

    await visit.page.locator('#share summary').click();
    if (!(await visit.page.locator('#share').evaluate((element) => element.open))) await visit.page.locator('#share summary').click();
    await visit.page.locator('[data-export="link"]').click();
    await visit.page.getByText('The link is copied.').waitFor();
    const link = await visit.page.evaluate(() => navigator.clipboard.readText());
    const other = await Visit.open(bench.browser, bench.address, {}, new URL(link).hash);
    assert.equal(await other.text('#gate-kn'), shown(found.share.gate_kn));
    await other.end();

    // The file is opened again; one with a slip is refused with its line.
    await visit.page.locator('#reset').click();
    await visit.page.locator('#open').click();
    const [chooser] = await Promise.all([visit.page.waitForEvent('filechooser'), visit.page.locator('#open-choose').click()]);
    await chooser.setFiles(model);
    await visit.page.getByText('is open.').waitFor();
    await visit.settled();
    assert.equal(await visit.text('#gate-kn'), shown(found.share.gate_kn));
    assert.match(visit.page.url(), /#v=1&%7E|#v=1&~/);
    const sentence = await visit.text('#sentence');
    const slip = join(home.path, 'slip.toml');
    writeFileSync(slip, readFileSync(model, 'utf8').replace(/^load_kn *=.*$/m, 'load_kn = "ten"'));
    await visit.page.setInputFiles('#open-file', slip);
    await visit.page.getByText(/slip\.toml cannot be used\.Line \d+: Rig, pull: Found "ten"/).waitFor();
    assert.equal(await visit.text('#sentence'), sentence, 'what was there stays');
    await visit.end({ refused: [422] });
  });

  test('the saved page opens from disk, is hovered, zoomed and swept', async (t) => {
    const home = folder();
    t.after(home.end);
    const visit = await Visit.open(bench.browser, bench.address, {}, HASH);
    await visit.page.locator('#keep').click();
    await visit.page.locator('[data-kept="A"]').waitFor();
    await visit.page.locator('#handle-upper').press('ArrowRight');
    const found = await visit.showsTheShare();
    const { set } = visit.state();
    /** What the program says of the saved state, or of a step of its sweep. */
    const limits = async (offset) => visit.page.evaluate(async (state) => {
      const body = JSON.stringify({ version: 2, session: 'savedpage', ticket: Date.now(), state, quick: false });
      return (await fetch('./api/limits', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body })).json();
    }, { model: 'broadbar-alu', set: offset === undefined ? set : { ...set, 'rig.upper.offset_mm': Number(offset), 'rig.lower.offset_mm': Number(offset) } });
    const path = await take(bench, visit, 'page', home.path);
    const size = readFileSync(path).length;
    t.diagnostic(`${(size / 1e6).toFixed(1)} MB`);
    assert.ok(size < 12e6, `${size} bytes`);

    const context = await bench.browser.newContext({ viewport: { width: 1280, height: 800 }, offline: true, reducedMotion: 'reduce' });
    const [complaints, requests] = [[], []];
    context.on('console', (message) => ['error', 'warning'].includes(message.type()) && complaints.push(message.text()));
    context.on('weberror', (error) => complaints.push(String(error.error())));
    context.on('request', (request) => requests.push(request.url()));
    const page = await context.newPage();
    await page.goto(pathToFileURL(path).href);
    await page.locator('html[data-ready]').waitFor({ timeout: 20000 });
    const texts = () => page.locator('#viewer').innerText();
    assert.ok((await texts()).includes(shown(found.share.gate_kn)), 'the share of the saved state');
    assert.match(await texts(), /A: /, 'the kept state stands beside it');
    /** What fails first, the story and the warnings, as the page shows them and as the program says them. */
    const judged = async (offset) => {
      const { limits: { fails_first, fails_at_kn, story }, told: { hazards, notes } } = await limits(offset);
      assert.equal(await page.locator('#weakest b').textContent(), `${fails_first}, ${fails_at_kn.toFixed(1)} kN`, `offset ${offset}`);
      assert.equal(await page.locator('#tells').textContent(), story.join(' '), `offset ${offset}`);
      assert.deepEqual(await page.locator('#warnings li').allTextContents(), [...hazards, ...notes], `offset ${offset}`);
      return fails_at_kn;
    };
    const asSaved = await judged();
    const canvas = page.locator('canvas').first();
    const box = await canvas.boundingBox();
    const reading = page.locator('.reading').first();
    let words = '';
    for (let i = 1; i < 24 && !/MPa/.test(words); i++) {
      await page.mouse.move(box.x + (box.width * i) / 24, box.y + box.height / 2);
      words = await reading.textContent();
    }
    assert.match(words, /MPa/, 'hovering reads the stress');
    const before = await canvas.evaluate((one) => one.toDataURL());
    await page.getByRole('button', { name: 'Zoom in' }).click();
    assert.notEqual(await canvas.evaluate((one) => one.toDataURL()), before, 'zoom');
    // Zoomed, it is moved by the hand; then it is all there again.
    const near = await canvas.evaluate((one) => one.toDataURL());
    await page.mouse.move(box.x + 0.5 * box.width, box.y + 0.5 * box.height);
    await page.mouse.down();
    await page.mouse.move(box.x + 0.6 * box.width, box.y + 0.55 * box.height, { steps: 4 });
    await page.mouse.up();
    assert.notEqual(await canvas.evaluate((one) => one.toDataURL()), near, 'moved');
    await canvas.focus();
    await page.keyboard.press('0');
    assert.ok((await canvas.evaluate((one) => one.toDataURL())) === before, 'all of it');
    // The slider's last step is a state of its own, precomputed: it says what the command says there.
    await page.locator('#sweep').press('End');
    const offset = (await page.locator('#sweep-words').innerText()).match(/-?\d+(\.\d+)?/)[0];
    const swept = findings('broadbar-alu', { ...set, 'rig.upper.offset_mm': offset, 'rig.lower.offset_mm': offset });
    assert.equal(await page.locator('#gate-kn').innerText(), shown(swept.share.gate_kn), `offset ${offset}`);
    assert.notEqual(await judged(offset), asSaved, 'each step has a forecast of its own');
    const { default: AxeBuilder } = await import('@axe-core/playwright');
    const { violations } = await new AxeBuilder({ page }).analyze();
    assert.deepEqual(violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target).join('; ')}`), []);
    await page.setViewportSize({ width: 390, height: 844 });
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), 'fits a phone');
    const tops = await page.evaluate(() => ['#sentence', '#weakest', '#sweep', 'canvas', '#warnings'].map((s) => document.querySelector(s).getBoundingClientRect().top));
    assert.deepEqual(tops, [...tops].sort((a, b) => a - b), 'on a phone the sentence comes first, then what fails first, then the picture');
    await page.setViewportSize({ width: 1280, height: 800 });
    // The wheel scrolls the page; with Ctrl it zooms.
    const now = () => canvas.evaluate((one) => one.toDataURL());
    // Drawn anew for the window: until it keeps still.
    let still = '';
    for (let next = await now(); next !== still; next = await now()) {
      still = next;
      await page.waitForTimeout(150);
    }
    await page.mouse.move(box.x + 0.5 * box.width, box.y + 0.5 * box.height);
    await page.mouse.wheel(0, 120);
    await page.waitForTimeout(100);
    assert.ok((await canvas.evaluate((one) => one.toDataURL())) === still, 'the wheel alone does not zoom');
    await page.keyboard.down('Control');
    await page.mouse.wheel(0, -120);
    await page.keyboard.up('Control');
    await page.waitForFunction((before) => document.querySelector('canvas').toDataURL() !== before, still);
    await context.close();
    await visit.end();
    assert.deepEqual(complaints, []);
    assert.deepEqual(requests.filter((url) => !/^(file|data|blob|about):/.test(url)), [], 'asks nobody');
  });

  test('the saved page names measures as the live one does, and says what its slider moves', async (t) => {
    const home = folder();
    t.after(home.end);
    const set = { 'rig.upper.offset_mm': 5, 'rig.lower.offset_mm': -3, 'nose.tip_mm': '17 \u00b1 0.2' };
    const visit = await Visit.open(bench.browser, bench.address, {}, `#v=1&model=broadbar-alu&${new URLSearchParams(set)}`);
    const found = await visit.showsTheShare();
    const path = await take(bench, visit, 'page', home.path);
    await visit.end();
    const context = await bench.browser.newContext({ offline: true });
    const page = await context.newPage();
    await page.goto(pathToFileURL(path).href);
    await page.locator('html[data-ready]').waitFor({ timeout: 20000 });
    const told = (await page.locator('#warnings li').allTextContents()).join(' ');
    assert.match(told, /Nose and notch, nose tip is 17/);
    assert.doesNotMatch(told, /[a-z]+\.[a-z]+_[a-z]+/, 'no key of a file');
    assert.match(await page.locator('#sweep-moves').innerText(), /both ends at one place; saved: upper 5 mm toward the gate, lower 3 mm toward the spine/);
    const gate = () => page.locator('#gate-kn').innerText();
    assert.equal(await gate(), shown(found.share.gate_kn), 'the first picture is of the saved state');
    await page.locator('#sweep').press('End');
    assert.notEqual(await gate(), shown(found.share.gate_kn));
    await page.getByRole('button', { name: 'as saved' }).click();
    assert.equal(await gate(), shown(found.share.gate_kn), 'and there is a way back to it');
    await context.close();
  });
}
