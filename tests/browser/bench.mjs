// What the browser tests stand on: the real server, a real browser, and the command to compare with.

import AxeBuilder from '@axe-core/playwright';
import assert from 'node:assert/strict';
import { execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { ENGINE, alike } from './engines.mjs';

export { ENGINE, alike, browse, download, onPaper, only, print } from './engines.mjs';

export const BINARY = process.env.PULLMAP_BIN ?? new URL('../../target/release/pullmap', import.meta.url).pathname;
/** Longest wait for anything on the page, ms: a machine that does much else at once still gets there. */
const PATIENCE = 20000;
/** The page is at rest when nothing happened for so long, ms: longer than it waits itself for the hand to rest. */
const QUIET = 350;

/** What is on its way on the standing connection, where the page itself tells of it. */
const WIRE = { url: () => '/api/wire' };

/** A phone held upright, with fingers. */
export const PHONE = { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, isMobile: true, hasTouch: true };

/** Starts `pullmap explore` on a free port; `{ address, child, ended, end() }`. */
export async function serve(...words) {
  assert.ok(existsSync(BINARY), `${BINARY} is missing: run \`cargo build --release\` first`);
  const child = spawn(BINARY, ['explore', ...(words.includes('--port') ? [] : ['--port', '0']), ...words], { stdio: ['ignore', 'pipe', 'pipe'] });
  let errors = '';
  child.stderr.on('data', (text) => (errors += text));
  const ended = new Promise((resolve) => child.on('close', resolve));
  const lines = createInterface({ input: child.stdout });
  const address = await new Promise((resolve, reject) => {
    lines.once('line', (line) => resolve(line.match(/http:\S+/)?.[0]));
    ended.then(() => reject(new Error(`the server ended: ${errors}`)));
  });
  return {
    address,
    child,
    ended,
    async end() {
      child.kill('SIGINT');
      assert.equal(await ended, 0, 'Ctrl-C ends the server well');
      assert.equal(errors, '', 'nothing on the standard error');
    },
  };
}

/** A folder that is gone afterwards. */
export function folder() {
  const path = mkdtempSync(join(tmpdir(), 'pullmap-browser-'));
  return { path, end: () => rmSync(path, { recursive: true, force: true }) };
}

/** What `pullmap map MODEL --json --set ...` finds. */
export function findings(model, set = {}) {
  const sets = Object.entries(set).flatMap(([key, value]) => ['--set', `${key}=${value}`]);
  return JSON.parse(execFileSync(BINARY, ['map', model, '--json', ...sets], { cwd: tmpdir(), maxBuffer: 1 << 26 }));
}

/** Kilonewtons as the page shows them. */
export const shown = (kn) => `${kn.toFixed(1).replace('-', '\u2212')} kN`;

/** A page under watch: every request, every word on the console. `options` are those of a browser context. */
export class Visit {
  static async open(browser, address, options = {}, hash = '', prepare = () => {}) {
    const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, reducedMotion: 'reduce', acceptDownloads: true, ...options });
    await prepare(context);
    const visit = new Visit(context, address);
    await visit.load(address + hash);
    return visit;
  }

  constructor(context, address) {
    Object.assign(this, { context, address, complaints: [], wired: 0, requests: [], posted: [], refusals: [], asking: new Set() });
    context.on('request', (request) => {
      this.requests.push(request.url());
      if (request.isNavigationRequest()) this.#left(request);
      if (request.url().includes('/api/') && !request.url().endsWith('/api/wire')) this.asking.add(request);
      if (ENGINE === 'chromium' && request.method() === 'POST') this.posted.push(request.postData() ?? '');
    });
    context.on('page', (page) => page.on('websocket', (wire) => this.#listen(wire)));
    for (const over of ['requestfinished', 'requestfailed']) context.on(over, (request) => this.asking.delete(request));
    context.on('response', (response) => response.status() >= 400 && this.refusals.push(response.status()));
    context.on('console', (message) => {
      // The browser itself logs each answer that refuses; those are judged by their status.
      const refusal = message.text().startsWith('Failed to load resource: the server responded');
      if (!refusal && ['error', 'warning'].includes(message.type())) this.complaints.push(message.text());
    });
    context.on('weberror', (error) => this.complaints.push(String(error.error())));
  }

  // What a document asked that is left is answered to nobody, and not each browser says so.
  #left(request) {
    const frame = request.frame();
    for (const one of this.asking) if (one.frame?.() === frame) this.asking.delete(one);
  }

  // Questions and answers on the standing connection: at most one question is on its way.
  #listen(wire) {
    this.requests.push(wire.url());
    wire.on('framesent', ({ payload }) => {
      this.asking.add(wire);
      this.posted.push(String(payload));
      this.wired += 1;
    });
    wire.on('framereceived', ({ payload }) => {
      this.asking.delete(wire);
      if (typeof payload === 'string') this.refusals.push(JSON.parse(payload).status);
    });
    wire.on('close', () => this.asking.delete(wire));
  }

  // The same in Firefox, where the page itself tells of it.
  #hear(what, text) {
    if (what === 'posted' || what === 'sent') this.posted.push(text);
    if (what === 'sent') this.wired += 1;
    if (what === 'received' && text !== null) this.refusals.push(JSON.parse(text).status);
    if (what === 'sent') this.asking.add(WIRE);
    else if (what !== 'posted') this.asking.delete(WIRE);
  }

  async #newPage() {
    if (ENGINE === 'firefox') await this.context.exposeFunction('pullmapTraffic', (...words) => this.#hear(...words));
    return this.context.newPage();
  }

  async load(url) {
    this.page ??= await this.#newPage();
    this.page.setDefaultTimeout(PATIENCE);
    await this.page.goto(url);
    await this.page.waitForFunction(() => Number(document.querySelector('#stage')?.dataset.answer) > 0);
    await this.settled();
    return this.page;
  }

  /** Waits until the page has been at rest for a while: nothing on its way, nothing drawn, the address written. */
  async settled() {
    const look = () => this.page.evaluate(() => [location.hash, document.querySelector('#stage').dataset.answer, document.querySelector('#sentence').textContent, document.querySelector('#weakest').className].join());
    const clock = Date.now();
    let [seen, since] = [await look(), clock];
    while (Date.now() - since < QUIET) {
      assert.ok(Date.now() - clock < 3 * PATIENCE, `the page comes to rest; on its way: ${[...this.asking].map((one) => one.url())}`);
      await new Promise((resolve) => setTimeout(resolve, 40));
      const now = await look();
      if (this.asking.size || now !== seen) [seen, since] = [now, Date.now()];
    }
  }

  /** Waits until the page is at rest and knows what fails first in the state that it shows: all of an answer is there. */
  async judged() {
    await this.settled();
    await this.page.locator('#weakest[aria-busy="false"]').waitFor();
    await this.settled();
  }

  /** The state that the address carries. */
  state() {
    const pairs = [...new URLSearchParams(new URL(this.page.url()).hash.slice(1))];
    const set = Object.fromEntries(pairs.filter(([key]) => key !== 'v' && key !== 'model' && !key.startsWith('view.') && !key.startsWith('~')));
    return { model: Object.fromEntries(pairs).model, set };
  }

  /** The last question that the page asked with a word in it. */
  async asked(word) {
    for (const end = Date.now() + PATIENCE; Date.now() < end; await new Promise((resolve) => setTimeout(resolve, 20))) {
      const body = this.posted.findLast((one) => one.includes(word));
      if (body) return JSON.parse(body);
    }
    throw new Error(`nothing was asked with ${word} in it`);
  }

  text(selector) {
    return this.page.locator(selector).innerText();
  }

  /** Asserts that the page shows the share that the command gives for its state; returns the command's findings. */
  async showsTheShare() {
    await this.settled();
    const { model, set } = this.state();
    const found = findings(model, set);
    assert.equal(await this.text('#gate-kn'), shown(found.share.gate_kn), JSON.stringify(set));
    assert.equal(await this.text('#spine-kn'), shown(found.share.spine_kn), JSON.stringify(set));
    assert.match(await this.text('#gate-share'), new RegExp(`^gate (open|${String(Math.round(100 * found.share.gate_fraction)).replace('-', '\u2212')} %)$`));
    return found;
  }

  /** Takes something with the mouse and puts it elsewhere, on a path as a hand takes it. */
  async drag(from, to, steps = 12) {
    const { mouse } = this.page;
    await mouse.move(...from);
    await mouse.down();
    // Not beyond the rim of the window: a driver may refuse to go there.
    for (let i = 1; i <= steps; i++) await mouse.move(...[0, 1].map((k) => Math.max(0, from[k] + ((to[k] - from[k]) * i) / steps)));
    await mouse.up();
  }

  async middle(selector) {
    const box = await this.page.locator(selector).boundingBox();
    return [box.x + box.width / 2, box.y + box.height / 2];
  }

  /** Opens the group of a parameter and returns its row. */
  async row(key) {
    const row = this.page.locator(`#controls [data-key="${key}"]`);
    await row.evaluate((element) => (element.closest('details').open = true));
    await row.scrollIntoViewIfNeeded();
    return row;
  }

  async type(key, text) {
    const input = (await this.row(key)).locator('input[type="text"]');
    await input.fill(String(text));
    await input.press('Enter');
    await input.blur();
  }

  /** Asserts that nobody who needs the page to be well made is let down. */
  async accessible(what) {
    if (alike.skip) return;
    const { violations } = await new AxeBuilder({ page: this.page }).analyze();
    const told = violations.map((v) => `${v.id}: ${v.help}\n${v.nodes.slice(0, 4).map((n) => `    ${n.target.join(' ')}: ${n.failureSummary.replace(/\s+/g, ' ')}`).join('\n')}`);
    assert.equal(told.join('\n'), '', what);
  }

  /** Asserts that the page kept to itself and had nothing to complain of, and closes it. */
  async end({ refused = [] } = {}) {
    await this.context.close();
    const own = (url) => url.startsWith(this.address) || url === `${this.address.replace('http', 'ws')}api/wire` || url.startsWith(`blob:${this.address}`) || /^(data|about|file):/.test(url);
    assert.deepEqual(this.requests.filter((url) => !own(url)), [], 'no request leaves the host');
    assert.ok(this.requests.length > 5, 'requests are watched');
    assert.deepEqual(this.complaints, [], 'nothing on the console');
    assert.deepEqual(this.refusals.filter((status) => status !== 409 && !refused.includes(status)), [], 'no request is refused');
  }
}
