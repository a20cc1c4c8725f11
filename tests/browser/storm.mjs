// A storm of random hands. Whatever was done and however fast: once the page is at rest, every number on it is the command's.
//
//     npm run storm --prefix tests/browser                    two minutes, another storm each time
//     PULLMAP_SEED=7 npm run storm --prefix tests/browser     that one again
//
// A seed brings the same hands again; what is on its way when they come hangs on the machine.

import assert from 'node:assert/strict';
import { execFile } from 'node:child_process';
import { readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import test from 'node:test';
import { promisify } from 'node:util';
import { BINARY, Visit, folder, serve } from './bench.mjs';

const SECONDS = Number(process.env.PULLMAP_STORM ?? 20);
const SEED = Number(process.env.PULLMAP_SEED ?? (SECONDS > 20 ? Date.now() % 1000000 : 3));
/** Longest wait for what fails first, once the page is at rest, ms. */
const PATIENCE = 60000;

const MODELS = ['broadbar-alu', 'broadbar-steel', 'offset-d', 'oval', 'pear'];
/** Keys that hands type, and how far they go. The radius cannot be built from some 30 mm on. */
const TYPED = {
  'rig.load_kn': [2, 34], 'rig.upper.offset_mm': [-6, 6], 'rig.lower.offset_mm': [-6, 6], 'nose.notch_depth_mm': [2.6, 6],
  'window.inside_length_mm': [62, 80], 'section.spine.depth_mm': [11, 15], 'window.corner_radius_mm': [8, 60],
};

const kn = (x) => `${Math.abs(x) < 0.05 ? '0.0' : x.toFixed(1).replace('-', '\u2212')} kN`;
const percent = (x) => `${Math.round(100 * x) || 0} %`.replace('-', '\u2212');

/** Numbers from 0 up to 1, the same for the same seed. */
function draws(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Without spaces that keep words together. */
const plain = (text) => text.replaceAll('\u00a0', ' ');

const run = promisify(execFile);

/** All that the page shows of a state, by the command; null where the state cannot be. */
async function told({ model, set }, home) {
  const sets = Object.entries(set).flatMap(([key, value]) => ['--set', `${key}=${value}`]);
  const ask = (...words) => run(BINARY, [words[0], model, ...words.slice(1), ...sets], { cwd: home, maxBuffer: 1 << 26 });
  let answers;
  try {
    answers = await Promise.all([ask('map', '--out', 'map'), ask('forecast', '--json')]);
  } catch (error) {
    assert.equal(error.code, 2, error.stderr);
    return null;
  }
  const map = JSON.parse(readFileSync(join(home, 'map', 'findings.json')));
  rmSync(join(home, 'map'), { recursive: true });
  const forecast = JSON.parse(answers[1].stdout);
  const weakest = `${forecast.fails_first}, ${kn(forecast.fails_at_kn)}`;
  const { gate_kn, spine_kn } = map.share;
  const range = ['p5', 'p95'].map((p) => forecast.range_kn[p].toFixed(1)).join(' to ');
  const end = kn(forecast.peak_kn) === kn(forecast.fails_at_kn) ? '' : `; the pull ends at ${kn(forecast.peak_kn)}`;
  return {
    // Once the page has rested long enough.
    ranged: `${weakest}${end} (${range})`,
    text: plain(answers[0].stdout),
    shown: {
      gate: kn(gate_kn),
      spine: kn(spine_kn),
      'gate share': set['rig.gate'] === 'open' ? 'gate open' : `gate ${percent(gate_kn / map.load_kn)}`,
      rig: answers[0].stdout.split('\n')[1],
      'fails first': weakest,
      highest: map.peaks.filter((p) => p.trusted && !p.joint).slice(0, 3).map((p) => `${Math.round(p.von_mises_mpa)} MPa ${p.where}`).join('; '),
    },
    line: `${map.connector}; ${answers[0].stdout.split('\n')[1]}`,
    card: `${map.beyond.length ? 'If nothing gave way: gate' : 'Gate'} ${kn(gate_kn)} of ${kn(map.load_kn)}. First to fail: ${weakest}.`,
  };
}

class Storm {
  constructor(visit, server, home, random) {
    Object.assign(this, { visit, server, home, random, cards: new Map(), trail: [], rests: 0, hands: 0, risky: false, explained: 0 });
    this.page = visit.page;
  }

  one(list) {
    return list[Math.floor(this.random() * list.length)];
  }

  between(low, high) {
    return low + this.random() * (high - low);
  }

  async drag() {
    await this.page.locator('#stage').scrollIntoViewIfNeeded();
    const [x, y] = await this.visit.middle(`#handle-${this.one(['upper', 'lower'])}`);
    await this.visit.drag([x, y], [x + this.between(-70, 70), y], Math.ceil(this.between(1, 14)));
  }

  async type() {
    const key = this.one(Object.keys(TYPED));
    if (key === 'window.corner_radius_mm') this.risky = true;
    const value = this.between(...TYPED[key]).toFixed(1);
    await this.visit.type(key, value);
    return `${key} ${value}`;
  }

  async keep() {
    if (await this.page.locator('#keep').isEnabled()) await this.page.locator('#keep').click();
    else await this.drop();
  }

  /** Kept before what fails first can be known. */
  async changeAndKeep() {
    const kind = await this.hand(['type', 'gate', 'connector', 'undo']);
    await this.keep();
    return `after ${kind}`;
  }

  async drop() {
    const button = this.page.getByRole('button', { name: /^Remove [A-D]$/ }).first();
    if (!(await button.count())) return;
    this.cards.delete((await button.getAttribute('aria-label')).at(-1));
    await button.click();
  }

  async goBack() {
    const button = this.page.getByRole('button', { name: /^Go back to [A-D]$/ }).first();
    if (await button.count()) await button.click();
  }

  async explain() {
    if (this.explained++ > 0) return;
    await this.page.locator('#broke-at').fill(this.between(6, 20).toFixed(1));
    await this.page.getByRole('button', { name: 'Explain it' }).click();
  }

  async connector() {
    const model = this.one(MODELS);
    await this.page.selectOption('#model', model);
    return model;
  }

  async gate() {
    const gate = this.one(['closed', 'half', 'open']);
    await this.page.locator(`#gate-state label:has([value="${gate}"])`).click();
    return gate;
  }

  async press(id) {
    if (await this.page.locator(id).isEnabled()) await this.page.locator(id).click();
  }

  undo = () => this.press('#undo');
  redo = () => this.press('#redo');

  async reload() {
    // What cannot be built has no picture to open with.
    if (this.risky) return;
    this.visit.asking.clear();
    await this.page.reload();
    await this.page.waitForFunction(() => Number(document.querySelector('#stage')?.dataset.answer) > 0);
    this.explained = 0;
  }

  /** The server stands still while a hand goes on. */
  async stop() {
    this.server.child.kill('SIGSTOP');
    const done = await this.hand(['drag', 'type', 'gate', 'undo']);
    await this.page.waitForTimeout(this.between(50, 900));
    this.server.child.kill('SIGCONT');
    return `during ${done}`;
  }

  /** Does one of some things; what it was, in words. */
  async hand(kinds) {
    const kind = this.one(kinds);
    this.hands += 1;
    const more = await this[kind]();
    return more ? `${kind} ${more}` : kind;
  }

  async burst() {
    this.trail = [];
    const often = ['drag', 'drag', 'drag', 'type', 'type', 'type', 'keep', 'changeAndKeep', 'changeAndKeep', 'gate', 'gate', 'undo', 'undo', 'redo', 'stop', 'stop', 'connector', 'goBack', 'drop', 'reload', 'explain'];
    for (let n = Math.ceil(this.between(0, 5)); n > 0; n--) {
      this.trail.push('(not ended)');
      this.trail[this.trail.length - 1] = await this.hand(often);
      if (this.random() < 0.5) await this.page.waitForTimeout(this.between(0, 400));
    }
  }

  /** Waits for rest and for all that comes after it; leaves a state behind that can be. */
  async rest() {
    await this.visit.settled();
    const refused = this.page.locator('#mistakes', { hasText: 'is not possible' });
    while (await refused.isVisible()) {
      assert.equal(await told(this.visit.state(), this.home.path), null, 'what the page refuses the command refuses');
      await this.page.locator((await this.page.locator('#undo').isEnabled()) ? '#undo' : '#reset').click();
      await this.visit.settled();
    }
    // A program that stood still is heard again.
    await this.page.locator('#mistakes').waitFor({ state: 'hidden', timeout: PATIENCE });
    await this.page.locator('#weakest[aria-busy="false"]').waitFor({ timeout: PATIENCE });
    await this.visit.settled();
  }

  async check() {
    await this.rest();
    const now = await this.agrees();
    this.risky = false;
    // What a card holds is not on it: one that is new is gone back to, and then shows up beside what the command says.
    const names = await this.page.locator('[data-kept]').evaluateAll((cards) => cards.map((card) => card.dataset.kept).filter((name) => name !== 'now'));
    for (const name of this.cards.keys()) if (!names.includes(name)) this.cards.delete(name);
    for (const name of names) {
      if (!this.cards.has(name)) {
        await this.page.getByRole('button', { name: `Go back to ${name}` }).click();
        await this.rest();
        const { card, line } = await this.agrees();
        this.cards.set(name, { numbers: card, line });
      }
      const card = this.page.locator(`[data-kept="${name}"]`);
      await card.locator('.numbers', { hasText: 'First to fail' }).waitFor({ timeout: PATIENCE });
      const { numbers, line } = this.cards.get(name);
      assert.equal(await card.locator('.numbers').textContent(), numbers, `numbers of the card ${name}`);
      assert.equal(await card.locator('.rig-line').textContent(), line, `rig of the card ${name}`);
    }
    this.rests += 1;
    return now;
  }

  /** Asserts that the page shows what the command says; returns that. */
  async agrees() {
    const state = this.visit.state();
    const wanted = await told(state, this.home.path);
    const where = JSON.stringify(state);
    assert.ok(wanted, `the page shows what the command cannot build: ${where}`);
    const seen = await this.page.evaluate(() => {
      const text = (selector) => document.querySelector(selector).textContent;
      return {
        shown: {
          gate: text('#gate-kn'), spine: text('#spine-kn'), 'gate share': text('#gate-share'), rig: text('#rig-words'), 'fails first': text('#weakest b'),
          highest: [...document.querySelectorAll('#highest li')].map((row) => `${row.querySelector('b').textContent} ${row.querySelector('span').textContent}`).join('; '),
        },
        sentence: text('#sentence'),
        now: document.querySelector('[data-kept="now"] .numbers')?.textContent ?? null,
      };
    });
    const stamp = plain(seen.shown['fails first']);
    const shown = stamp.endsWith(')') ? { ...wanted.shown, 'fails first': wanted.ranged } : wanted.shown;
    assert.deepEqual({ ...seen.shown, 'fails first': stamp }, shown, where);
    assert.ok(wanted.text.includes(plain(seen.sentence)), `${where}: the page says: ${seen.sentence}\nthe command: ${wanted.text}`);
    if (seen.now !== null) assert.equal(seen.now, wanted.card, `the card of what is shown, ${where}`);
    return wanted;
  }
}

export function storm(bench) {
  test(`a storm of random hands: at rest every number is the command's`, async (t) => {
    const home = folder();
    const server = await serve();
    const visit = await Visit.open(bench.browser, server.address);
    const storming = new Storm(visit, server, home, draws(SEED));
    try {
      for (const end = Date.now() + 1000 * SECONDS; Date.now() < end; ) {
        await storming.burst();
        await storming.check();
      }
    } catch (error) {
      error.message = `seed ${SEED}, after ${storming.rests} rests, then ${storming.trail.join('; ')}: ${error.message}`;
      throw error;
    } finally {
      server.child.kill('SIGCONT');
      t.diagnostic(`seed ${SEED}: ${storming.hands} hands, ${storming.rests} rests`);
      await visit.context.close();
      await server.end();
      home.end();
    }
    assert.ok(storming.rests > 0);
    await visit.end({ refused: [422] });
  });
}
