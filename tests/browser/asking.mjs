// What is asked of the connector beyond the map: its parts, a pull that happened, another end, another file.

import assert from 'node:assert/strict';
import test from 'node:test';
import { execFileSync } from 'node:child_process';
import { tmpdir } from 'node:os';
import { BINARY, Visit, alike } from './bench.mjs';

/** What the server forecasts for the first connector with keys set. */
function limits(page, set) {
  return page.evaluate(async (set) => {
    const session = `bench${Math.random().toString(36).slice(2)}bench`;
    const body = JSON.stringify({ version: 2, session, ticket: 1, state: { model: 'broadbar-alu', set } });
    return (await fetch('/api/limits', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body })).json();
  }, set);
}

export function asking(bench) {
  test('the forecast shows every part as a bar, lowest first', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    await page.locator('#forecast').scrollIntoViewIfNeeded();
    await page.locator('#forecast-bars .bar-list details').first().waitFor();
    await visit.settled();
    const told = await limits(page, {});
    const wanted = told.limits.limits.filter((l) => l.at_kn !== null).sort((a, b) => a.at_kn - b.at_kn);
    const bars = await page.locator('#forecast-bars .bar-list details').evaluateAll((rows) => rows.map((row) => [row.querySelector('.what').textContent, row.querySelector('b').textContent, row.querySelector('.bar').getBoundingClientRect().width, row.querySelector('.bar').className]));
    assert.deepEqual(bars.map(([what, kn]) => `${what} ${kn}`), wanted.map((l) => `${l.what} ${l.at_kn.toFixed(1)} kN`));
    // Lengths are loads: on one scale as far as it goes.
    const whole = bars.map(([, , length, kind], i) => [length, wanted[i].at_kn, kind]).filter(([, , kind]) => !kind.includes('torn'));
    const scale = whole.at(-1)[0] / whole.at(-1)[1];
    assert.ok(whole.length >= 5);
    for (const [length, kn] of whole) assert.ok(Math.abs(length - scale * kn) < 2, `${kn} kN is ${length} px long`);
    const first = await page.locator('#forecast-bars .bar.first').count();
    assert.equal(first, 1);
    assert.ok((await visit.text('#weakest')).includes(told.limits.fails_first));
    // A bar opens on what it rests on.
    const row = page.locator('#forecast-bars .bar-list details').nth(4);
    await row.locator('summary').click();
    assert.ok((await row.locator('.source').innerText()).length > 30);
    assert.ok((await visit.text('#forecast-bars')).includes(told.caution), 'the caution stands beside');
    await visit.accessible('a bar opened');
    await visit.end();
  });

  test('a pull that happened is explained as the command explains it', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    // A load that cannot be read is refused beside its field.
    await page.locator('#broke-at').fill('1,700');
    await page.getByRole('button', { name: 'Explain it' }).click();
    await page.locator('#broke-at[aria-invalid="true"]').waitFor();
    assert.match(await visit.text('#explain-answer'), /divides thousands/);
    await page.locator('#broke-at').fill('17.2');
    await page.locator('#broke-where').selectOption('lip');
    await page.getByRole('button', { name: 'Explain it' }).click();
    await page.locator('#explain-answer .answer').waitFor({ timeout: 90000 });
    const wanted = JSON.parse(execFileSync(BINARY, ['explain', 'broadbar-alu', '--broke-at', '17.2', '--where', 'lip', '--json'], { cwd: tmpdir(), maxBuffer: 1 << 26 }));
    assert.equal(await visit.text('#explain-answer .answer'), wanted.sentence);
    assert.deepEqual(await page.locator('.causes strong').allInnerTexts(), wanted.causes.map((c) => c.cause));
    assert.deepEqual(await page.locator('.causes b').allInnerTexts(), wanted.causes.map((c) => (c.likelihood >= 0.995 ? 'over 99 %' : `${Math.round(100 * c.likelihood)} %`)));
    assert.ok((await visit.text('#explain-answer')).includes(await visit.text('#caution')), 'the caution stands beside');
    // Each cause that is a setting can be set; the pull that happened stays in the forecast, and one step takes the cause back.
    const sets = wanted.causes.filter((c) => c.keys?.length);
    const buttons = page.locator('.causes .take-over');
    assert.ok(sets.length > 1);
    assert.equal(await buttons.count(), sets.length);
    await visit.accessible('with an explanation that can be taken over');
    const before = page.url();
    for (const at of [0, 1]) {
      await buttons.nth(at).click();
      // What nobody sees is drawn when it is seen.
      await page.locator('#forecast').scrollIntoViewIfNeeded();
      await visit.judged();
      await page.locator('#forecast-bars[aria-busy="false"]').waitFor();
      assert.deepEqual(Object.entries(visit.state().set).map(([key, value]) => `${key}=${value}`).sort(), [...sets[at].keys].sort());
      assert.deepEqual(await buttons.evaluateAll((all) => all.map((one) => one.getAttribute('aria-pressed'))), sets.map((_, i) => String(i === at)));
      const { peak_kn } = (await limits(page, visit.state().set)).limits;
      assert.match(await visit.text('#broke-words'), new RegExp(`broke, 17\\.2 kN: the forecast here, ${peak_kn.toFixed(1)} kN`));
    }
    assert.equal(await page.locator('.axis b.broke').innerText(), 'broke at 17.2 kN');
    const [mark, bar, kn] = await page.locator('#forecast-bars details').first().evaluate((row) => [row.querySelector('.broke-mark').getBoundingClientRect(), row.querySelector('.bar').getBoundingClientRect(), parseFloat(row.querySelector('b').textContent)]);
    // The first bar gives the scale: as far as its number is rounded.
    const at = mark.x + mark.width / 2 - bar.x;
    assert.ok(Math.abs(at / bar.width - 17.2 / kn) < (17.2 / kn) * (0.06 / kn) + 0.03, `${at} px beside ${bar.width} px for ${kn} kN`);
    for (const _ of [0, 1]) await page.locator('#undo').click();
    await visit.settled();
    assert.equal(page.url(), before);
    assert.equal(await page.locator('.axis b.broke').count(), 1, 'the pull stays marked');
    assert.ok((await visit.text('#explain-answer')).includes('it broke at 17.2 kN, at the lip'), 'it names what was asked for');
    // Of another state it is greyed and says so; the button asks for the same pull again.
    const note = page.locator('#explain .another');
    assert.ok(await note.isHidden());
    await page.locator('#handle-upper').press('ArrowRight');
    await note.waitFor();
    assert.match(await note.innerText(), /^From the state before\.\s+Ask again for this one$/);
    assert.equal(await page.locator('#explain-answer.waits').getAttribute('aria-busy'), 'true');
    await page.locator('#broke-at').fill('9');
    visit.posted.length = 0;
    await note.getByRole('button', { name: 'Ask again for this one' }).click();
    const { state, broke_at_kn, where } = await visit.asked('"broke_at_kn":');
    assert.deepEqual([state.set['rig.upper.offset_mm'], broke_at_kn, where], [0.5, 17.2, 'lip']);
    assert.ok(await note.isHidden());
    assert.equal(await page.locator('#explain-answer .answer').count(), 0, 'nothing of the state before is left');
    await page.locator('#model').selectOption('pear');
    await visit.settled();
    assert.equal(await page.locator('.broke-mark').count(), 0, 'another connector was not pulled');
    await visit.end({ refused: [422] });
  });

  test('an explanation tells how far it has come and can be called off', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    await page.locator('#broke-at').fill('17.2');
    await page.locator('#broke-where').selectOption('lip');
    await page.getByRole('button', { name: 'Explain it' }).click();
    const line = page.locator('#explain-answer .under-way');
    await line.getByText(/^Solved \d+ of \d+: /).waitFor();
    await line.getByRole('button', { name: 'Cancel' }).click();
    await page.locator('#explain-answer').getByText('Cancelled.').waitFor();
    assert.equal(await page.locator('#explain-answer .answer').count(), 0);
    // The next one is served as if none had been asked before.
    await page.getByRole('button', { name: 'Explain it' }).click();
    await page.locator('#explain-answer .answer').waitFor({ timeout: 90000 });
    await visit.end();
  });

  test('the range of the forecast and the marking stand on its axis, as the command tells them', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    await page.locator('#forecast').scrollIntoViewIfNeeded();
    await page.locator('.range-band:not(.waits)').waitFor({ timeout: 90000 });
    const wanted = JSON.parse(execFileSync(BINARY, ['forecast', 'broadbar-alu', '--json'], { cwd: tmpdir(), maxBuffer: 1 << 26 }));
    const marks = await page.locator('.axis .track > [data-kn]').evaluateAll((all) => all.map((one) => {
      const [box, track] = [one.getBoundingClientRect(), one.parentElement.getBoundingClientRect()];
      return { className: one.className, kn: Number(one.dataset.kn), to: Number(one.dataset.to), from: box.left - track.left, end: box.right - track.left };
    }));
    const of = (name) => marks.find((m) => m.className === name);
    const { p5, p50, p95 } = wanted.range_kn;
    assert.deepEqual([of('range-band').kn, of('range-middle').kn, of('range-band').to], [p5, p50, p95]);
    assert.equal(of('marking').kn, wanted.against_marking.marked_kn);
    // Drawn on the scale of the bars.
    const scale = of('range-middle').from / p50;
    assert.ok(Math.abs(of('range-band').from - scale * p5) < 2 && Math.abs(of('range-band').end - scale * p95) < 2);
    const words = await visit.text('#forecast-range');
    for (const sentence of wanted.story.slice(-2)) assert.ok(words.includes(sentence), sentence);
    await visit.accessible('with a range');
    // What of a range could not be varied stands beside it, not behind something that is to be opened.
    await visit.type('nose.notch_depth_mm', '2.6 \u00b1 0.4');
    await page.locator('#forecast').scrollIntoViewIfNeeded();
    const [left] = JSON.parse(execFileSync(BINARY, ['forecast', 'broadbar-alu', '--json', '--set', 'nose.notch_depth_mm=2.6 \u00b1 0.4'], { cwd: tmpdir(), maxBuffer: 1 << 26 })).left_out;
    const varied = left.match(/of \S+ to \S+ only \S+ to \S+ was varied/)[0];
    await page.locator('.range-words:not(.waits) > p', { hasText: varied }).waitFor();
    // Of another state it is marked as not yet.
    await page.locator('#gate-state label', { hasText: 'open' }).click();
    await page.locator('.range-band.waits, .range-words.waits').first().waitFor();
    await visit.end();
  });

  test('what the share of the gate hangs on is told on demand, as the command tells it', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    await page.locator('[data-test="ask-sensitivity"]').click();
    // Past the findings of the state itself.
    await page.locator('#sensitivity .under-way').getByText(/^Solved [1-9]\d* of \d+: one thing varied at a time\.$/).waitFor();
    await page.locator('#sensitivity .answer').waitFor({ timeout: 90000 });
    const wanted = JSON.parse(execFileSync(BINARY, ['map', 'broadbar-alu', '--sensitivity', '--json'], { cwd: tmpdir(), maxBuffer: 1 << 26 })).sensitivity;
    const rows = await page.locator('#sensitivity tbody tr').evaluateAll((all) => all.map((row) => [...row.children].slice(0, 3).map((cell) => cell.textContent)));
    const { parameters } = await page.evaluate(async () => (await fetch('/api/start')).json());
    const label = (what) => parameters.find((p) => p.key === what)?.label ?? what;
    const percent = (part) => `${(100 * part).toFixed(1)} %`;
    assert.deepEqual(rows, [['as it is', '', percent(wanted.base.gate_fraction)], ...wanted.variations.flatMap((v) => v.tried.map(([value, w]) => [label(v.what), value, percent(w.gate_fraction)]))]);
    assert.ok((await visit.text('#sensitivity')).includes(await visit.text('#caution')), 'the caution stands beside');
    await visit.accessible('with a sensitivity');
    // That it is of a state before stands clear of the button.
    await page.locator('#handle-upper').press('ArrowRight');
    const note = page.locator('#forecast-share .another');
    await note.waitFor();
    const [said, button] = [await note.boundingBox(), await page.locator('[data-test="ask-sensitivity"]').boundingBox()];
    assert.ok(said.y >= button.y + button.height, `${said.y} under ${button.y} + ${button.height}`);
    await visit.end();
  });

  test('a strap becomes a bar of the bench and is dragged, too', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    await visit.showsTheShare();
    for (const end of ['upper', 'lower']) await (await visit.row(`rig.${end}.kind`)).locator('select').selectOption('bar');
    const before = await visit.showsTheShare();
    const { set } = visit.state();
    assert.equal(set['rig.upper.kind'], 'bar');
    assert.ok(!('rig.upper.width_mm' in set));
    assert.match(await visit.page.locator('#handle-upper').getAttribute('aria-label'), /mm bar/);
    assert.ok(await visit.page.locator('#controls [data-key="rig.upper.width_mm"]').isHidden());
    const [x, y] = await visit.middle('#handle-upper');
    await visit.drag([x, y], [x + 35, y]);
    const after = await visit.showsTheShare();
    assert.ok(after.share.gate_fraction > before.share.gate_fraction + 0.02);
    await visit.end();
  });

  test('a chart runs over any measure that has a meaning, and tells what does not fit', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    await page.locator('#charts').scrollIntoViewIfNeeded();
    const drawn = async (label) => {
      for (const what of ['share', 'forecast']) await page.locator(`#chart-${what}:not(.waits) svg:has(title:text-is("${what === 'share' ? 'gate\'s share' : 'forecast'} over ${label}"))`).waitFor({ state: 'attached', timeout: 60000 });
      await visit.settled();
    };
    const told = await page.evaluate(async () => (await fetch('/api/start')).json());
    const keys = () => page.locator('#chart-key option').evaluateAll((all) => all.map((one) => one.value));
    const wanted = (has) => told.parameters.filter((p) => p.slider && p.group !== 'marking' && (!p.shown_when || has(p))).map((p) => p.key);
    const singles = (all) => all.filter((key) => !key.startsWith('rig.both.')).sort();
    assert.deepEqual(singles(await keys()), wanted(({ shown_when: w }) => w.in.includes(w.key.endsWith('.kind') ? 'strap' : w.key.endsWith('.shape') ? 'oval' : 'closed')).sort());
    for (const key of ['offset_mm', 'width_mm', 'stiffness_n_per_mm2', 'strap_strength_kn']) assert.ok((await keys()).includes(`rig.both.${key}`), key);
    await page.locator('#chart-key').selectOption('nose.pin_diameter_mm');
    await drawn('Nose pin diameter');
    assert.match(await visit.text('#chart-refused'), /^From (\S+) to 8 mm it does not fit; \S+ mm still does\. Found \S+ mm; allowed: at most 7 mm, so that the gate keeps 1 mm around its pin/);
    // Both charts say the same of what does not fit: from the first value that does not, half way to the last that does.
    const [, first, last] = (await visit.text('#chart-refused')).match(/^From (\S+) to 8 mm it does not fit; (\S+) mm/);
    const values = await page.locator('#charts .rows').evaluateAll((all) => all.map((rows) => [...rows.querySelectorAll('tbody button')].map((one) => `${one.textContent} ${one.dataset.fits}`).join()));
    assert.equal(values[0], values[1]);
    assert.ok(values[0].includes(`${last} mm yes,${first} mm no`), values[0]);
    const grounds = await page.locator('#chart-share svg').evaluate((svg) => [...svg.querySelectorAll('path')].map((one) => [one.getBBox(), one.getAttribute('fill')]).filter(([box, fill]) => fill && fill !== 'none' && box.height > 0.5 * svg.viewBox.baseVal.height).map(([box]) => box.width / svg.viewBox.baseVal.width));
    assert.ok(grounds.length === 1 && grounds[0] > 0.08 && grounds[0] < 0.25, `a ground where it does not fit: ${grounds}`);
    // A click goes to a value at a whole step.
    const box = await page.locator('#chart-share svg').boundingBox();
    await page.mouse.click(box.x + 0.3 * box.width, box.y + 0.5 * box.height);
    await visit.showsTheShare();
    const value = Number(visit.state().set['nose.pin_diameter_mm']);
    assert.ok(value > 2.5 && value < 4 && Math.abs(10 * value - Math.round(10 * value)) < 1e-9, String(value));
    // Both ends at once: bars have a diameter, straps none.
    for (const end of ['upper', 'lower']) await (await visit.row(`rig.${end}.kind`)).locator('select').selectOption('bar');
    await visit.settled();
    await page.locator('#charts').scrollIntoViewIfNeeded();
    await page.locator('#chart-measure label:has([value="rig.both.diameter_mm"])').click();
    await drawn('Bar diameter at both ends');
    assert.ok(!(await keys()).some((key) => key.startsWith('rig.') && key.endsWith('.width_mm')));
    await page.locator('#chart-forecast ~ .rows summary').click();
    // Read before the click: the address may follow it at once.
    const { set } = visit.state();
    await page.locator('#chart-forecast ~ .rows button:enabled').first().click();
    await visit.settled();
    assert.equal(visit.state().set['rig.upper.diameter_mm'], visit.state().set['rig.lower.diameter_mm']);
    assert.notEqual(visit.state().set['rig.upper.diameter_mm'], set['rig.upper.diameter_mm']);
    await drawn('Bar diameter at both ends');
    await visit.accessible('a chart over bars');
    await visit.end();
  });

  test('bars beyond the first part to fail do not contradict the pull that goes on', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address, {}, '#v=1&model=broadbar-alu&hinge.pin_diameter_mm=1.5');
    const { page } = visit;
    await page.locator('#forecast').scrollIntoViewIfNeeded();
    const bars = page.locator('#forecast-bars .bar-list details');
    await bars.first().waitFor();
    const opens = bars.filter({ hasText: 'frame opens' });
    assert.match(await opens.innerText(), /its gate at its limit/);
    assert.match(await opens.locator('.bar').getAttribute('class'), /bends/, 'no pull ends there');
    assert.match(await bars.filter({ hasText: 'open hook' }).innerText(), /7\.2\skN/);
    await page.locator('#forecast-bars .tale').getByText('suppose that the hinge pin still holds').waitFor();
    await visit.end();
  });

  test('values are typed as people write them, with what is not known', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    const used = async (key) => Number(await (await visit.row(key)).locator('input[type="range"]').inputValue());
    for (const [key, text, shown, middle] of [
      ['rig.upper.offset_mm', '\u22125', '\u22125', -5],
      ['rig.upper.offset_mm', '-4', '-4', -4],
      ['rig.upper.offset_mm', '3,4 mm', '3,4 mm', 3.4],
      ['nose.notch_depth_mm', '6 +- 0,2', '6 \u00b1 0.2', 6],
      ['nose.notch_depth_mm', '5 \u2013 7', '5 to 7', 6],
      ['nose.pin_diameter_mm', '0.16"', '0.16"', 4.1],
    ]) {
      await visit.type(key, text);
      await visit.showsTheShare();
      assert.equal(await (await visit.row(key)).locator('input[type="text"]').inputValue(), shown, text);
      assert.ok(Math.abs((await used(key)) - middle) < 0.051, text);
    }
    await page.locator('#forecast').scrollIntoViewIfNeeded();
    await page.locator('#known-within').waitFor();
    await visit.settled();
    assert.match(await visit.text('#known-within'), /Notch depth 5 to 7 mm/);
    // A number that is not finished is one, and what does not fit is told as it was typed.
    await visit.type('nose.pin_diameter_mm', '4.');
    await visit.showsTheShare();
    assert.ok(Math.abs((await used('nose.pin_diameter_mm')) - 4) < 0.051);
    // An answer that comes while somebody types takes nothing out of the field.
    const tip = (await visit.row('nose.tip_mm')).locator('input[type="text"]');
    await visit.type('nose.pin_diameter_mm', '4');
    await tip.fill('13.7');
    await visit.settled();
    assert.equal(await tip.inputValue(), '13.7');
    await tip.blur();
    await visit.showsTheShare();
    assert.equal(visit.state().set['nose.tip_mm'], '13.7');
    // What may be thousands is not guessed, and the field says what helps.
    for (const [text, says] of [['1,234.5', /divides thousands; allowed: .*such as 1234\.5/], ['12 to', /two numbers.*Type it like 14 mm, 14 \u00b1 0\.2 or 12 to 15/], ['wide', /is not a number; allowed: a length in mm, cm, m or in\. Type it like 14 mm/]]) {
      await visit.type('nose.tip_mm', text);
      const mistake = (await visit.row('nose.tip_mm')).locator('.mistake');
      await mistake.waitFor();
      await visit.settled();
      assert.match(await mistake.innerText(), says);
      await page.locator('#undo').click();
      await visit.settled();
      assert.ok(await mistake.isHidden());
    }
    // What nobody sees is of the state before, and grey, until it is seen.
    for (const part of ['#forecast-bars', '#charts']) {
      await page.locator(part).scrollIntoViewIfNeeded();
      await page.waitForFunction((part) => !document.querySelector(`${part}.waits, ${part} .waits`), part, { timeout: 60000 });
    }
    await visit.accessible('ranges typed');
    await visit.end({ refused: [422] });
  });

  test('every key of the model file has its row, with unit and range', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const told = await visit.page.evaluate(async () => (await fetch('/api/start')).json());
    await visit.page.evaluate(() => document.querySelectorAll('#controls details').forEach((one) => (one.open = true)));
    for (const p of told.parameters) {
      const row = visit.page.locator(`#controls [data-key="${p.key}"]`);
      assert.equal(await row.count(), 1, p.key);
      assert.equal(await row.locator('label').textContent(), p.label, p.key);
      if (!p.slider) continue;
      const [min, max] = await row.locator('input[type="range"]').evaluate((s) => [Number(s.min), Number(s.max)]);
      assert.deepEqual([min, max], [p.slider.min, p.slider.max], p.key);
      if (p.unit && p.unit !== 'deg') assert.ok((await row.locator('.unit').textContent()).startsWith(p.unit[0]), p.key);
    }
    await visit.end();
  });
}
