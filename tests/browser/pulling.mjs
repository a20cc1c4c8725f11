// A pull until something fails: computed behind the map, called off, and shown on it step by step.

import assert from 'node:assert/strict';
import test from 'node:test';
import { PHONE, Visit, only } from './bench.mjs';

/** Few steps on a coarse mesh: seconds in place of a minute. */
const QUICK = { steps: 20, mesh_size_mm: 3 };

/** A connector whose bars yield beside bars that pull it, long before its gate line fails. */
const BARS = '#v=1&model=broadbar-alu&rig.both.kind=bar&rig.both.diameter_mm=14&rig.load_kn=30';

/** The JSON of an answer before its blocks. */
const headOf = (body) => JSON.parse(body.subarray(16, 16 + body.readUInt32LE(8)).toString());

/** With ordinary blanks. */
const plain = (words) => words.replaceAll('\u00a0', ' ');

/** What cannot be pressed at its middle, lies beyond the window, or lies over another one: of the bar of a pull. */
function amiss() {
  const out = [];
  if (document.documentElement.scrollWidth > innerWidth) out.push(`the page is ${document.documentElement.scrollWidth} wide`);
  const bar = document.querySelector('#pull-bar');
  bar.scrollIntoView({ behavior: 'instant', block: 'center' });
  const all = [...bar.querySelectorAll('button, input')].map((one) => ({ one, box: one.getBoundingClientRect(), name: one.getAttribute('aria-label') }));
  for (const { one, box, name } of all) {
    if (box.left < 0 || box.right > innerWidth) out.push(`${name} beyond the window`);
    const hit = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
    if (one.tagName === 'BUTTON' && !one.contains(hit)) out.push(`${name} under ${hit?.className || hit?.id}`);
    for (const other of all) {
      if (other.one === one || one.tagName !== 'BUTTON' || other.one.tagName !== 'BUTTON') continue;
      const [w, h] = [Math.min(box.right, other.box.right) - Math.max(box.left, other.box.left), Math.min(box.bottom, other.box.bottom) - Math.max(box.top, other.box.top)];
      if (w > 0.5 && h > 0.5) out.push(`${name} over ${other.name}`);
    }
  }
  return out;
}

/** How many heights the picture has over all steps. */
function heights() {
  const slider = document.querySelector('#pull-step');
  const all = Array.from({ length: Number(slider.max) + 1 }, (_, i) => {
    slider.value = i;
    slider.dispatchEvent(new Event('input'));
    return document.querySelector('#stage').clientHeight;
  });
  return new Set(all).size;
}

export function pulling(bench) {
  test('a pull is computed behind the map, can be called off, and is shown on it step by step', only('chromium', 'what is asked is changed on its way'), async () => {
    let answer = null;
    let asked = {};
    const quicker = (context) => context.route('**/api/pull', async (route) => {
      if (answer) return route.fulfill({ status: 200, contentType: 'application/octet-stream', body: answer });
      return route.continue({ postData: JSON.stringify({ ...route.request().postDataJSON(), ...asked }) });
    });
    const visit = await Visit.open(bench.browser, bench.address, {}, '#v=1&model=oval', quicker);
    const { page } = visit;
    const [bar, slider] = [page.locator('#pull-bar'), page.locator('#pull-step')];
    const ask = page.locator('[data-test="ask-pull"]');
    const focused = (test) => page.waitForFunction((name) => document.activeElement.dataset.test === name, test);

    // Progress in words; meanwhile the map answers the hand. Called off, it is over.
    await ask.click();
    await page.waitForFunction(() => document.activeElement.textContent === 'Cancel');
    await page.locator('#pull-answer .under-way').getByText(/^Step \d+: \d+\.\d+ kN, \d+\.\d\d mm of stretch, \d+ iterations\.$/).waitFor();
    const before = Number(await page.locator('#stage').getAttribute('data-answer'));
    // A pull holds up nothing: the range of the new state is asked for beside it.
    const range = page.waitForRequest((request) => request.url().endsWith('/api/range') && request.postData().includes('offset_mm'));
    await page.locator('#handle-upper').press('ArrowRight');
    await page.waitForFunction((n) => Number(document.querySelector('#stage').dataset.answer) > n, before);
    await range;
    assert.equal(await page.locator('#pull-answer .under-way').count(), 1);
    // Another state is pulled in place of the first one, whose end says nothing any more.
    await page.locator('#pull .another').getByRole('button', { name: 'Pull this one' }).click();
    await page.locator('#pull-answer .under-way').getByText(/^Step \d+: /).waitFor();
    assert.equal(await page.locator('#pull-answer .under-way').count(), 1);
    assert.ok(!(await visit.text('#pull-answer')).includes('Cancelled.'));
    await page.locator('#pull-answer .under-way').getByRole('button', { name: 'Cancel' }).click();
    await page.locator('#pull-answer').getByText('Cancelled.').waitFor();
    assert.ok(await bar.isHidden());
    await focused('ask-pull');
    // Where there is no answer none is of the state before, and one button asks.
    await page.locator('#undo').click();
    await page.waitForFunction(() => !document.querySelector('#pull-answer').textContent);
    assert.ok(await page.locator('#pull .another').isHidden() && await ask.isVisible());

    // Asked again, it comes, and stands where the gate let go: nothing moves by itself for a reader who wants that.
    asked = QUICK;
    const came = page.waitForResponse((response) => response.url().endsWith('/api/pull') && response.ok(), { timeout: 240000 });
    await ask.click();
    answer = await (await came).body();
    const head = headOf(answer);
    await bar.waitFor();
    await focused('pull-see');
    const { shown, marks, pull } = head;
    const last = shown.findLastIndex((step) => step.branch === 'gate');
    const words = (i) => `${shown[i].words}, ${shown[i].phase}`;
    assert.equal(await slider.inputValue(), String(last));
    await page.waitForTimeout(500);
    assert.equal(await slider.inputValue(), String(last));
    assert.equal(await visit.text('#pull-sentence'), pull.sentence);
    assert.equal(await visit.text('#pull-answer .answer'), pull.sentence);
    assert.ok((await visit.text('#pull-story')).includes(head.caution) && (await visit.text('#pull-answer')).includes(head.caution), 'the caution stands beside');
    const rows = await page.locator('[data-test="pull-rows"] tr').evaluateAll((all) => all.map((row) => [...row.children].map((cell) => cell.textContent)));
    assert.deepEqual(rows, head.rows.map(({ what, value, more }) => [what, value, more]));
    assert.ok(await page.locator('#picture').isHidden() && await page.locator('#handle-upper').isHidden(), 'it takes the place of the map');

    // The slider by its keys: step, load and stretch in words, on bar, story and picture alike.
    const numbers = [...pull.steps, ...pull.hook.steps];
    const stands = async (i) => {
      assert.equal(await slider.getAttribute('aria-valuetext'), words(i));
      assert.equal(`${await visit.text('#pull-load')}, ${await visit.text('#pull-stretch')}`, shown[i].words);
      assert.deepEqual([await visit.text('#pull-carry'), await visit.text('#pull-strain')].map(plain), [shown[i].carries, shown[i].yielded]);
      assert.equal(`${numbers[i].load_kn < 1 ? shown[i].words.split(' ')[0] : numbers[i].load_kn.toFixed(1)} kN, ${numbers[i].stretch_mm.toFixed(2)} mm`, shown[i].words);
      await page.waitForFunction((step) => document.querySelector('.pull-picture').dataset.step === String(step), i);
      return page.locator('.pull-picture').evaluate((canvas) => canvas.toDataURL());
    };
    await slider.press('Home');
    const rest = await stands(0);
    await slider.press('ArrowRight');
    await stands(1);
    await slider.press('End');
    const hook = await stands(shown.length - 1);
    assert.notEqual(hook, rest, 'another step, another picture');
    assert.equal(await visit.text('#pull-phase'), 'open hook');

    // A mark says its name and leads to its step; the point of the curve goes along.
    const discs = page.locator('.pull-mark-at');
    assert.deepEqual(await discs.evaluateAll((all) => all.map((disc) => disc.getAttribute('aria-label'))), marks.map((mark) => mark.words));
    for (const [i, mark] of marks.entries()) {
      await discs.nth(i).focus();
      assert.equal((await visit.text('[data-test="pull-name"]')).replace(/\s/g, ' '), `${i + 1} ${mark.words}`.replace(/\s/g, ' '));
      await discs.nth(i).press('Enter');
      await stands(mark.shown);
    }
    const [point, circle] = await page.evaluate(() => ['.point', '.mark:nth-last-of-type(2)'].map((one) => ['cx', 'cy'].map((k) => Number(document.querySelector(`.pull-curve ${one}`).getAttribute(k)))));
    assert.ok(Math.hypot(point[0] - circle[0], point[1] - circle[1]) < 0.2, `${point} on ${circle}: the last mark is a step`);

    // Of the other field it is another picture, and nobody is shut out.
    await page.locator('#pull-field label', { hasText: 'plastic strain' }).click();
    await page.waitForFunction((one) => document.querySelector('.pull-picture').toDataURL() !== one, hook);
    await visit.accessible('with a pull on the map');

    // It plays until it is paused.
    await slider.press('Home');
    await page.locator('[data-test="pull-play"]').click();
    await page.waitForFunction(() => Number(document.querySelector('#pull-step').value) >= 3);
    await page.getByRole('button', { name: 'Pause the pull' }).click();
    const stood = await slider.inputValue();
    await page.waitForTimeout(400);
    assert.equal(await slider.inputValue(), stood);

    // On any window all of it can be pressed.
    for (const [width, height] of [[1440, 900], [1280, 720], [900, 1000], [390, 844], [320, 640]]) {
      await page.setViewportSize({ width, height });
      await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
      assert.deepEqual(await page.evaluate(amiss), [], `${width} x ${height}`);
      assert.equal(await page.evaluate(heights), 1, `${width} x ${height}: no step moves the picture`);
    }
    await page.setViewportSize({ width: 1440, height: 900 });

    // Another state ends it and marks it; the same state again may show it again.
    await page.getByRole('button', { name: 'open', exact: true }).or(page.locator('#gate-state label', { hasText: 'open' })).first().click();
    await bar.waitFor({ state: 'hidden' });
    await page.locator('#picture').waitFor();
    await page.locator('#pull .another', { hasText: 'From the state before.' }).waitFor();
    assert.ok(await page.locator('[data-test="pull-see"]').isDisabled());
    await page.locator('#undo').click();
    await page.locator('#pull .another').waitFor({ state: 'hidden' });
    await page.locator('[data-test="pull-see"]').click();
    await bar.waitFor();
    await focused('pull-step');
    await page.getByRole('button', { name: 'Back to the map' }).click();
    await focused('picture');
    assert.equal(await page.locator('.headline #hazards, .more #warnings').count(), 2, 'each is back in its place');
    assert.ok(await bar.isHidden() && await page.locator('#picture').isVisible() && await page.locator('#sentence').isVisible());
    await visit.end();

    // Where things may move it plays by itself once it is seen, on a phone too.
    // Of bars in place of straps much is no result, which stands before the numbers, with the hazards of the state.
    answer = null;
    const phone = await Visit.open(bench.browser, bench.address, { ...PHONE, reducedMotion: 'no-preference' }, BARS, quicker);
    const ofBars = phone.page.waitForResponse((response) => response.url().endsWith('/api/pull') && response.ok(), { timeout: 240000 });
    await phone.page.locator('[data-test="ask-pull"]').click();
    const told = headOf(await (await ofBars).body());
    const hazards = await phone.page.locator('#hazards li').allTextContents();
    assert.ok(told.pull.warnings.length === 2 && hazards.length > 1);
    assert.ok(await phone.page.locator('#pull-bar').isHidden() || await phone.page.locator('#pull-step').inputValue() === '0', 'it waits until it is seen');
    await phone.page.locator('[data-test="pull-see"]').click();
    for (const home of ['pull-warnings', 'pull-answer-warnings']) assert.deepEqual((await phone.page.locator(`[data-test="${home}"] li`).allTextContents()).slice(0, 2), told.pull.warnings);
    assert.ok(hazards[0].startsWith('Shown is metal that never yields') && await phone.page.locator('#hazards li').first().isHidden(), 'the metal of a pull yields');
    for (const words of hazards.slice(1)) assert.ok(await phone.page.locator('#pull-story').getByText(words, { exact: true }).isVisible(), words);
    const first = await phone.page.evaluate(() => ['#hazards', '#pull-warnings'].every((one) => document.querySelector(one).compareDocumentPosition(document.querySelector('#pull-load')) & Node.DOCUMENT_POSITION_FOLLOWING));
    assert.ok(first, 'hazards before numbers');
    assert.equal(await phone.page.locator('#pull-story #warnings').count(), 1, 'the notes of the state, too');
    await phone.page.waitForFunction(() => Number(document.querySelector('#pull-step').value) >= 3);
    await phone.page.locator('[data-test="pull-play"]').click();
    await phone.page.locator('#pull-step').press('End');
    await phone.page.locator('#pull-step').press('Home');
    assert.ok(!await phone.page.locator('#pull-strain.untrusted').count());
    await phone.page.locator('.pull-mark-at').last().click();
    await phone.page.locator('#pull-strain.untrusted').waitFor();
    await phone.accessible('a pull on a phone');
    await phone.end();
  });
}
