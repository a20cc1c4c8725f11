// What was done on the page stays: through reloads, links, walking back and forth, other files, other connectors.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';
import { Visit, alike, download, folder } from './bench.mjs';

const model = (name) => readFileSync(new URL(`../../models/${name}.toml`, import.meta.url), 'utf8');
const file = (name, text) => ({ name, mimeType: 'text/plain', buffer: Buffer.from(text) });
const status = '[data-test="share-status"]';

/** Keeps the present state and waits for its card. */
async function keep(visit, letter) {
  await visit.page.locator('#keep').click();
  await visit.page.locator(`[data-kept="${letter}"]`).waitFor();
}

const names = (page) => page.locator('#kept .kept-name').evaluateAll((all) => all.map((one) => one.value));
const rename = async (page, letter, words) => {
  await page.locator(`[data-kept="${letter}"] .kept-name`).fill(words);
  await page.locator(`[data-kept="${letter}"] .kept-name`).press('Enter');
};
const paste = (page, text) => page.evaluate((words) => {
  const data = new DataTransfer();
  data.setData('text/plain', words);
  // Firefox lets no script say by the event's own options what is pasted.
  const event = new ClipboardEvent('paste', { bubbles: true, cancelable: true });
  Object.defineProperty(event, 'clipboardData', { value: data });
  document.body.dispatchEvent(event);
}, text);

export function keeping(bench) {
  test('links within the page lose nothing, and the browser walks over models opened', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    await visit.type('rig.load_kn', 12);
    await visit.settled();
    await keep(visit, 'A');
    const first = page.url();
    for (const link of await page.locator('.ways a').all()) {
      await link.focus();
      await page.keyboard.press('Enter');
      assert.equal(page.url(), first, await link.innerText());
    }
    assert.equal(await page.evaluate(() => document.activeElement.id), 'photo-head', 'the focus goes along');
    assert.ok((await page.evaluate(() => scrollY)) > 500);
    // In a tab of its own a link brings the state along, and goes to its section.
    const href = await page.locator('.ways a').nth(2).getAttribute('href');
    const other = await Visit.open(bench.browser, bench.address, {}, href);
    assert.equal(other.state().set['rig.load_kn'], '12');
    assert.equal(await other.page.evaluate(() => document.activeElement.id), 'forecast-head');
    await other.end();
    await page.locator('.skip').evaluate((link) => link.click());
    assert.equal(page.url(), first);
    assert.equal(await page.evaluate(() => document.activeElement.id), 'handle-upper');
    // Somebody's old link to a section, typed over the address.
    await page.evaluate(() => (location.hash = '#compare'));
    await page.waitForFunction(() => location.hash.includes('load_kn=12'));

    await page.locator('#model').selectOption('oval');
    await visit.settled();
    await page.locator('#handle-upper').press('ArrowRight');
    await visit.settled();
    const second = page.url();
    await page.goBack();
    await visit.settled();
    assert.equal(page.url(), first);
    assert.equal(await page.locator('#model').inputValue(), 'broadbar-alu');
    await visit.showsTheShare();
    await page.goForward();
    await visit.settled();
    assert.equal(page.url(), second);
    await page.locator('#undo').click();
    await visit.settled();
    assert.deepEqual(await names(page), ['A'], 'what is kept stays');
    await visit.end();
  });

  test('a reload brings back what was kept, named, opened and entered', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    await keep(visit, 'A');
    await page.locator('#handle-upper').press('Shift+ArrowRight');
    await visit.settled();
    await keep(visit, 'B');
    await rename(page, 'B', '5 mm to the gate; 100 % = wet');
    await page.locator('[data-kept="B"]').getByRole('button', { name: 'to the left' }).focus();
    await page.keyboard.press('Enter');
    assert.equal(await page.evaluate(() => document.activeElement.getAttribute('aria-label')), 'Move 5 mm to the gate; 100 % = wet to the right', 'the focus stays with what was moved');
    await visit.row('nose.notch_depth_mm');
    await page.locator('#field label:has([value="pull"])').click();
    await page.locator('#broke-at').fill('17.2');
    await page.locator('#broke-where').selectOption('lip');
    await visit.settled();
    const numbers = () => page.locator('#kept .numbers').allInnerTexts();
    await page.waitForFunction(() => [...document.querySelectorAll('#kept .numbers')].every((one) => /kN\. First/.test(one.textContent)));
    const [url, told] = [page.url(), await numbers()];
    await page.reload();
    await page.locator('[data-kept="A"]').waitFor();
    await page.locator('[data-kept="B"]').waitFor();
    await visit.settled();
    assert.equal(page.url(), url);
    assert.deepEqual(await names(page), ['5 mm to the gate; 100 % = wet', 'A']);
    await page.waitForFunction(() => [...document.querySelectorAll('#kept .numbers')].every((one) => /kN\. First/.test(one.textContent)));
    assert.deepEqual(await numbers(), told);
    assert.ok(await page.locator('[data-group="nose"]').evaluate((one) => one.open));
    assert.equal(await page.locator('#broke-at').inputValue(), '17.2');
    assert.equal(await page.locator('#broke-where').inputValue(), 'lip');
    assert.ok(await page.locator('#field [value="pull"]').isChecked());
    await page.getByRole('button', { name: 'Remove A' }).click();
    await page.reload();
    await page.locator('[data-kept="B"]').waitFor();
    await visit.settled();
    assert.equal((await names(page)).length, 1, 'what was removed is gone');
    // Another tab shows the same, and neither undoes what the other did.
    const tab = await visit.context.newPage();
    await tab.goto(bench.address);
    await tab.locator('[data-kept="B"]').waitFor();
    await rename(tab, 'B', 'Named elsewhere');
    await page.waitForFunction(() => document.querySelector('#kept .kept-name')?.value === 'Named elsewhere');
    await tab.getByRole('button', { name: 'Remove Named elsewhere' }).click();
    await page.locator('[data-kept="B"]').waitFor({ state: 'detached' });
    await tab.close();
    await visit.end();
  });

  test('the same state kept twice stays twice, under both names', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    await keep(visit, 'A');
    await keep(visit, 'B');
    await rename(page, 'B', 'Tuesday');
    await page.reload();
    await page.locator('[data-kept="A"]').waitFor();
    await page.locator('[data-kept="B"]').waitFor();
    assert.deepEqual(await names(page), ['A', 'Tuesday']);
    // The other tab has both, and takes away the one that is meant.
    const tab = await visit.context.newPage();
    await tab.goto(bench.address);
    await tab.locator('[data-kept="B"]').waitFor();
    await tab.getByRole('button', { name: 'Remove A' }).click();
    await page.locator('[data-kept="A"]').waitFor({ state: 'detached' });
    assert.deepEqual(await names(page), ['Tuesday']);
    await tab.close();
    await visit.end();
  });

  test('opened without a link the page is as it was left, says so, and can be started fresh', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    const said = () => page.locator('.notice').isVisible();
    assert.ok(!(await said()), 'the first time there is nothing to bring back');
    await page.locator('#model').selectOption('pear');
    await page.locator('#field label:has([value="pull"])').click();
    await visit.type('rig.load_kn', 14);
    await visit.type('nose.notch_depth_mm', 3.4);
    await visit.settled();
    await keep(visit, 'A');
    const left = visit.state();
    await page.goto('about:blank');
    await visit.load(bench.address);
    assert.deepEqual(visit.state(), left);
    assert.ok(await page.locator('#field [value="pull"]').isChecked());
    assert.match(await visit.text('.notice'), new RegExp(`What you last worked on is back: Pear.*, ${Object.keys(left.set).length} measures changed; and 1 kept variant\\.`));
    await visit.accessible('brought back');
    await page.locator('[data-test="start-fresh"]').click();
    await page.waitForFunction(() => !location.hash.includes('pear'));
    await visit.settled();
    assert.deepEqual(visit.state(), { model: 'broadbar-alu', set: {} });
    assert.ok(await page.locator('#field [value="mises"]').isChecked());
    assert.ok(!(await said()), 'read');
    assert.deepEqual(await names(page), ['A'], 'what is kept stays');
    // One step to undo.
    await page.locator('#undo').click();
    await page.waitForFunction(() => location.hash.includes('load_kn=14'));
    assert.deepEqual(visit.state(), left);
    // A link is opened as it says; and what was left of a program that opened with something else does not come back.
    await visit.settled();
    await page.goto('about:blank');
    await visit.load(`${bench.address}#v=1&model=oval`);
    assert.deepEqual(visit.state(), { model: 'oval', set: {} });
    assert.ok(!(await said()));
    // A link that was merely opened is nobody's work.
    await page.goto('about:blank');
    await visit.load(bench.address);
    assert.deepEqual(visit.state(), left);
    // Changed where no page of ours is open that would write it anew.
    await page.goto(`${bench.address}assets/state.js`);
    await page.evaluate(() => {
      const all = JSON.parse(localStorage.getItem('pullmap-page'));
      localStorage.setItem('pullmap-page', JSON.stringify({ ...all, last: { ...all.last, opens: '{"model":"pear","set":{}}' } }));
    });
    await visit.load(bench.address);
    assert.deepEqual(visit.state(), { model: 'broadbar-alu', set: {} });
    // What is told of other states, and what is too large to be kept: an older one does not stay in its place.
    const told = await page.evaluate(async () => {
      const { rememberLast, tellBack } = await import('/assets/last_state.js');
      const { Store } = await import('/assets/state.js');
      const notice = document.createElement('p');
      const say = (words) => notice.replaceChildren(...[words].flat());
      const back = (opens, set, view, unusable) => {
        const store = new Store({ model: 'oval', set }, view);
        say('');
        tellBack({ store, told: { opens_with: { model: 'oval', set: opens }, models: [] }, compare: { kept: [] }, notice: { say } }, unusable);
        const words = notice.textContent;
        notice.querySelector('button')?.click();
        return [words, notice.textContent];
      };
      const told = [
        back({ 'rig.both.offset_mm': 5 }, { 'rig.both.offset_mm': 5 }, {}, ''),
        back({}, {}, { field: 'pull' }, ''),
        back({}, { 'rig.load_kn': 9 }, {}, 'This part of it could not be used: foo.bar = 3.'),
      ];
      rememberLast({ store: { state: { model: 'oval', set: { title: 'x'.repeat(250000) } }, view: {} }, told: {} });
      return [...told, Object.keys(JSON.parse(localStorage.getItem('pullmap-page')))];
    });
    const [plain, looks, both, kept] = told;
    assert.deepEqual(plain, ['', ''], 'set at both ends it is as the program opens');
    assert.match(looks[0], /^What you last worked on is back.*Start fresh$/);
    assert.equal(looks[1], '', 'read, where only the looks were others');
    assert.match(both[0], /^What you last worked on is back: .*1 measure changed\. This part of it could not be used: foo\.bar = 3\. Start fresh$/);
    assert.ok(kept.includes('kept') && !kept.includes('last'), kept.join());
    await visit.end();
  });

  test('a store that holds nonsense, or is forbidden, is as good as empty', async () => {
    const nonsense = ['{', '7', '{"version":1,"kept":[{"name":3}],"files":"x","open":[1],"pull":{"peak":{}},"last":{"hash":3}}', '{"version":1,"last":{"hash":"#v=1&model=nowhere","opens":"x"}}', '{"version":99,"kept":[]}'];
    for (const text of nonsense) {
      const visit = await Visit.open(bench.browser, bench.address, {}, '', (context) => context.addInitScript((held) => location.protocol === 'http:' && (localStorage.getItem('pullmap-page') ?? localStorage.setItem('pullmap-page', held)), text));
      await keep(visit, 'A');
      await visit.page.waitForFunction(() => JSON.parse(localStorage.getItem('pullmap-page')).kept?.length === 1);
      await visit.end();
    }
    const visit = await Visit.open(bench.browser, bench.address, {}, '', (context) => context.addInitScript(() => {
      Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } });
    }));
    await keep(visit, 'A');
    await visit.page.locator('#theme').click();
    await visit.end();
  });

  test('a connector goes by its own name everywhere', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    const shows = async (title, words) => {
      await visit.settled();
      assert.equal(await visit.text('#title'), title);
      assert.equal(await page.locator('#model option:checked').innerText(), words);
      assert.equal(await page.title(), `${title} \u2013 pullmap`);
    };
    const untitled = (name) => model(name).replace(/^title.*$/m, '');
    await page.setInputFiles('#open-file', file('first.toml', untitled('oval')));
    await shows('first', 'first (first.toml)');
    await page.setInputFiles('#open-file', file('second.toml', model('pear').replace(/^title.*$/m, 'title = "The second"')));
    await shows('The second', 'The second (second.toml)');
    await visit.type('title', 'Worn, number 7');
    await shows('Worn, number 7', 'Worn, number 7 (second.toml)');
    await page.reload();
    await page.waitForFunction(() => Number(document.querySelector('#stage')?.dataset.answer) > 0);
    await shows('Worn, number 7', 'Worn, number 7 (second.toml)');
    // The first one is still there to go back to.
    await page.locator('#model').selectOption({ label: 'first (first.toml)' });
    await shows('first', 'first (first.toml)');
    await page.locator('#model').selectOption('oval');
    await visit.type('title', 'Oval, borrowed');
    await shows('Oval, borrowed', 'Oval, borrowed');
    await visit.end();
  });

  test('marks of what is still the example\u2019s come back in the saved file', alike, async (t) => {
    const home = folder();
    t.after(home.end);
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    const marked = model('oval').replace(/^load_kn.*$/m, '$& # example\u0027s').replace(/^upper_width_mm.*$/m, '$& # example\u0027s');
    await page.setInputFiles('#open-file', file('form.toml', marked));
    await page.getByText(/form\.toml is open.*still the example/).waitFor();
    await visit.settled();
    await visit.type('rig.load_kn', 8);
    await visit.settled();
    await page.reload();
    await visit.settled();
    await page.locator('#share summary').click();
    const saved = readFileSync(await download(bench.browser, page, () => page.locator('[data-export="toml"]').click(), home.path), 'utf8');
    assert.match(saved, /^upper_width_mm = .* # example's$/m);
    assert.match(saved, /^load_kn = 8$/m, 'what was changed is one\u2019s own');
    await visit.end();
  });

  test('a link is pasted from another machine; what is wrong of it is told, the rest is open', async () => {
    const visit = await Visit.open(bench.browser, bench.address, { permissions: ['clipboard-read', 'clipboard-write'] });
    const { page } = visit;
    await visit.type('rig.load_kn', 12);
    await keep(visit, 'A');
    await rename(page, 'A', 'Wide; 50 % = more');
    await page.locator('#model').selectOption('pear');
    await visit.settled();
    await keep(visit, 'B');
    await page.locator('#share summary').click();
    await page.locator('[data-export="link"]').click();
    await page.getByText('The link is copied.').waitFor();
    const link = (await page.evaluate(() => navigator.clipboard.readText())).replace(bench.address, 'http://192.168.1.7:7855/');
    const { set } = visit.state();
    await visit.end();

    const other = await Visit.open(bench.browser, bench.address);
    await other.page.locator('#open').click();
    await other.page.locator('#open-text').fill(` ${link}\n`);
    await other.accessible('the dialog open');
    await other.page.locator('[data-test="open-pasted"]').click();
    await other.page.locator('[data-kept="B"]').waitFor();
    await other.settled();
    assert.deepEqual(other.state(), { model: 'pear', set });
    assert.deepEqual(await names(other.page), ['Wide; 50 % = more', 'B']);
    await other.showsTheShare();
    await paste(other.page, '#v=1&model=oval&rig.load_kn=ten&rig.upper.width_mm=11.5&rig.both.offset_mm=99&foo.bar=3&view.field=x&view.ribbon=yes');
    await other.page.getByText('The rest is open.').waitFor();
    await other.settled();
    assert.deepEqual(other.state(), { model: 'oval', set: { 'rig.upper.width_mm': '11.5' } });
    const told = await other.text(status);
    for (const words of ['rig.load_kn = ten', 'a force in kN', 'rig.upper.offset_mm = 99', 'foo.bar = 3', 'view.field = x', 'mises, pull, trajectories']) assert.ok(told.includes(words), `${words}: ${told}`);
    assert.ok(await other.page.locator('#ribbon').isChecked());
    await paste(other.page, '#v=1&model=pera');
    await other.page.getByText(/model = pera .*pear/).waitFor();
    await paste(other.page, model('offset-d'));
    await other.page.getByText('The pasted text is open.').waitFor();
    await other.settled();
    assert.match(await other.page.locator('#model option:checked').innerText(), /^Offset D/i);
    await other.end({ refused: [422] });
  });

  test('a link is copied where the browser has no clipboard for the page', async () => {
    const visit = await Visit.open(bench.browser, bench.address, { permissions: ['clipboard-read', 'clipboard-write'] }, '', (context) => context.addInitScript(() => {
      window.held = navigator.clipboard;
      Object.defineProperty(navigator, 'clipboard', { value: undefined });
    }));
    const { page } = visit;
    await visit.type('rig.load_kn', 12);
    await page.locator('#share summary').click();
    await page.locator('[data-export="link"]').click();
    await page.getByText('The link is copied.').waitFor();
    assert.match(await page.evaluate(() => window.held.readText()), /#v=1&model=broadbar-alu&rig\.load_kn=12$/);
    await page.evaluate(() => (document.execCommand = () => false));
    await page.locator('[data-export="link"]').click();
    const field = page.locator('[data-test="link-field"]');
    await field.waitFor();
    assert.match(await field.inputValue(), /rig\.load_kn=12$/);
    assert.ok(await field.evaluate((one) => document.activeElement === one && one.selectionEnd - one.selectionStart === one.value.length), 'all of it is selected');
    await visit.end();
  });

  test('another connector hangs in the same rig, as far as it fits', alike, async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    await visit.type('rig.load_kn', 14);
    await visit.type('rig.lower.width_mm', 9);
    await (await visit.row('rig.upper.kind')).locator('select').selectOption('bar');
    await page.locator('#gate-state label:has([value="half"])').click();
    await visit.settled();
    await page.locator('#model').selectOption('pear');
    await visit.settled();
    assert.match(await visit.text('#rig-words'), /14 kN.*half.*12 mm bench bar centred.*9 mm strap centred/);
    await visit.showsTheShare();
    await page.locator('#reset').click();
    await visit.settled();
    assert.deepEqual(visit.state(), { model: 'pear', set: {} }, 'Reset starts afresh');
    // What does not fit is told with the program's own reason.
    await page.locator('#model').selectOption('broadbar-alu');
    for (const end of ['upper', 'lower']) await visit.type(`rig.${end}.offset_mm`, 0);
    await visit.type('rig.upper.width_mm', 36);
    await visit.type('rig.load_kn', 9);
    await visit.settled();
    await page.locator('#model').selectOption('oval');
    await page.getByText(/do not fit this connector.*36/).waitFor();
    await visit.settled();
    assert.match(await visit.text(status), /36 mm: found a strap of 36 mm; allowed: at most 33 mm/);
    assert.match(await visit.text('#rig-words'), /9 kN/);
    await visit.showsTheShare();
    // Of another state it is not so.
    assert.ok(await page.locator('.notice').isVisible());
    await visit.type('rig.load_kn', 10);
    await page.locator('.notice').waitFor({ state: 'hidden' });
    await visit.end({ refused: [422] });
  });

  test('of a rig that stays only what differs from the other connector\u2019s own counts as changed', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    const rig = await visit.text('#rig-words');
    const both = (changes) => Object.fromEntries(Object.entries(changes).flatMap(([key, value]) => ['upper', 'lower'].map((end) => [`rig.${end}.${key}`, value])));
    // Straps of 12 mm, centred, of the usual stiffness: what a model leaves out is the same in all of them.
    for (const [model, set] of [['oval', both({ width_mm: '12' })], ['offset-d', both({ offset_mm: '0' })], ['broadbar-steel', both({ kind: 'strap' })], ['broadbar-alu', {}]]) {
      await page.locator('#model').selectOption(model);
      await visit.settled();
      assert.deepEqual(visit.state(), { model, set }, model);
      assert.equal(await visit.text('#rig-words'), rig, model);
      assert.equal(await page.locator('#reset').isDisabled(), Object.keys(set).length === 0, model);
    }
    await visit.end();
  });

  test('cards of a comparison have their rows at one height, and one scale whatever the metal', async () => {
    const visit = await Visit.open(bench.browser, bench.address);
    const { page } = visit;
    await keep(visit, 'A');
    await page.locator('#model').selectOption('broadbar-steel');
    await visit.type('rig.load_kn', 22);
    await visit.settled();
    await keep(visit, 'B');
    await rename(page, 'B', 'Steel');
    await page.locator('#kept').scrollIntoViewIfNeeded();
    await visit.settled();
    for (const part of ['h3', '.rig-line', 'canvas', '.numbers', '.difference', '.buttons']) {
      const tops = await page.locator(`#kept .card ${part}`).evaluateAll((all) => all.map((one) => Math.round(one.getBoundingClientRect().top)));
      assert.equal(tops.length, 3, part);
      assert.equal(new Set(tops).size, 1, `${part}: ${tops}`);
    }
    const told = await visit.text('.scale-words');
    const [, high] = told.match(/from 0 to (\d+) MPa/);
    const ends = await page.locator('.scale-ticks i').allInnerTexts();
    assert.deepEqual([ends[0], ends.at(-1)], ['0', high]);
    // How far stresses go past it, at the end and in words: in the live picture as on its own ruler.
    const beyond = (await page.locator('[data-test="past-high"]').innerText()).match(/^to (\d+)$/)?.[1];
    assert.ok(Number(beyond) > Number(high), `${beyond} past ${high}`);
    assert.ok(told.includes(`stresses go to ${beyond} MPa`), told);
    assert.ok((await page.locator('#stage').getAttribute('data-past')).includes(beyond), 'as on the ruler');
    // The live picture spans it as well: alone the aluminium one would span less.
    await page.getByRole('button', { name: 'Go back to A' }).click();
    await visit.settled();
    assert.equal(await visit.text('.scale-words'), told);
    assert.match(await page.locator('[data-kept="B"] .difference').innerText(), /^Against Steel: /);
    await visit.accessible('named cards');
    await visit.end();
  });
}
