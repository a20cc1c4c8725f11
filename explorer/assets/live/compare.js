// Kept states beside the live one, in the same colours, with the differences in words.

import { meshOf, nearlyAll, sceneOf, unpack } from './answer.js';
import { kilonewtons } from './balance.js';
import { ask } from './connection.js';
import { Drawing, bounds, fitting } from './drawing.js';
import { element } from './element.js';
import { drawingOptions, rigOf, spanOf } from './looks.js';
import { seats } from './seats.js';
import { whenSeen } from './seen.js';
import { differenceWords, pictureWords } from './words.js';

const MOST = 4;
const NAMES = ['A', 'B', 'C', 'D'];

/** A whole answer of a state, all fields and a mesh of its own. */
export async function solveAll(state, kind) {
  const bytes = await ask('solve', { state, want: { mesh_id: null, fields: ['pull', 'principal', 'ribbon'], quick: false } }, 'bytes', kind);
  const answer = unpack(bytes);
  const scene = sceneOf(answer, meshOf(answer));
  scene.seats = seats(scene.bodies.frame);
  return scene;
}

/** Draws a scene into a canvas that fills its box. */
export function drawCard(canvas, drawing, scene, look, view, most) {
  const [w, h] = [canvas.clientWidth, canvas.clientHeight];
  if (!w || !h) return;
  const ratio = Math.min(2, window.devicePixelRatio || 1);
  canvas.width = Math.round(w * ratio);
  canvas.height = Math.round(h * ratio);
  const options = drawingOptions(scene, look, view, spanOf(scene, view.field, most));
  const area = { x: 0.08 * w, y: 0.15 * h, w: 0.84 * w, h: 0.7 * h };
  Object.assign(options, { view: fitting(bounds([scene.bodies.frame, scene.bodies.gate]), area), size: [w, h], ratio, rig: rigOf(scene.head) });
  drawing.draw(canvas.getContext('2d'), scene, options);
}

export class Compare {
  constructor(home, page) {
    Object.assign(this, { home, page, kept: [] });
    this.live = this.#card('now', 'Now');
    this.live.drawing = new Drawing();
    document.getElementById('keep').addEventListener('click', () => this.keep());
    this.keepHere = element('button', { type: 'button', className: 'strong', textContent: 'Keep this', data: { test: 'keep-here' } });
    this.keepHere.addEventListener('click', () => this.keep());
    this.empty = element('p', { className: 'empty' }, ['Nothing is kept yet. ', this.keepHere, ' Then drag the strap, open the gate or change a measure, and see here what it did.']);
    page.listeners.push(() => this.draw());
    new ResizeObserver(() => this.draw()).observe(home);
    this.pictures = whenSeen(home, () => this.#pictures());
    this.#lay();
  }

  #card(name, title) {
    const card = {
      canvas: element('canvas', { role: 'img' }),
      title: element('h3', { textContent: title }),
      numbers: element('p', { className: 'numbers' }),
      words: element('p', { className: 'difference' }),
      buttons: element('p', { className: 'buttons' }),
    };
    card.box = element('article', { className: 'card', data: { kept: name, test: `kept-${name}` } }, [card.title, card.canvas, card.numbers, card.words, card.buttons]);
    return card;
  }

  async keep() {
    const { page } = this;
    if (!page.scene || this.kept.length >= MOST) return;
    const name = NAMES.find((n) => !this.kept.some((k) => k.name === n));
    const { state } = page.store;
    const entry = { name, state: { model: state.model, set: { ...state.set } }, drawing: new Drawing(), weakest: page.weakest() };
    try {
      entry.scene = await solveAll(entry.state, `keep${name}`);
    } catch (error) {
      page.say(`It could not be kept: ${error.message}`);
      return;
    }
    entry.head = entry.scene.head;
    Object.assign(entry, this.#card(name, `${name}: ${entry.head.rig_words}`));
    const go = element('button', { type: 'button', textContent: 'Go back to it', 'aria-label': `Go back to ${name}` });
    const drop = element('button', { type: 'button', className: 'quiet', textContent: 'Remove', 'aria-label': `Remove ${name}` });
    go.addEventListener('click', () => page.store.replace(entry.state));
    drop.addEventListener('click', () => {
      this.kept = this.kept.filter((k) => k !== entry);
      this.#lay();
      document.getElementById('keep').focus();
    });
    entry.buttons.append(go, ' ', drop);
    this.kept.push(entry);
    this.#lay();
    page.say(`Kept as ${name}.`);
  }

  #lay() {
    const full = this.kept.length >= MOST;
    document.getElementById('keep').disabled = full;
    document.getElementById('keep').textContent = full ? 'Four kept' : this.kept.length ? `Keep (${this.kept.length})` : 'Keep';
    if (this.kept.length) this.home.replaceChildren(this.live.box, ...this.kept.map((k) => k.box));
    else this.home.replaceChildren(this.empty);
    // All pictures span the range that the hottest of them needs.
    this.page.stage.ask();
    this.draw();
  }

  draw() {
    const { scene, stage, store } = this.page;
    if (!scene) return;
    const { view } = store;
    const most = Math.max(0, ...this.kept.map((k) => nearlyAll(k.scene, view.field === 'pull' ? 'pull' : 'mises')));
    if (stage.most !== most) {
      stage.most = most;
      stage.ask();
    }
    if (!this.kept.length) return;
    const mine = nearlyAll(scene, view.field === 'pull' && scene.bodies.frame.pull ? 'pull' : 'mises');
    const shared = Math.max(most, mine);
    const live = { head: scene.head, weakest: this.page.weakest() };
    const numbers = (head, weakest) => `Gate ${kilonewtons(head.findings.share.gate_kn)} of ${kilonewtons(head.findings.load_kn)}.${weakest ? ` First to fail: ${weakest.what}, ${kilonewtons(weakest.at_kn)}.` : ''}`;
    this.live.title.textContent = `Now: ${scene.head.rig_words}`;
    this.live.numbers.textContent = numbers(scene.head, live.weakest);
    this.live.canvas.setAttribute('aria-label', pictureWords(scene.head, live.weakest));
    for (const k of this.kept) {
      k.numbers.textContent = numbers(k.head, k.weakest);
      k.words.textContent = `Against ${k.name}: ${differenceWords(k, live).replace(/^./, (c) => c.toLowerCase())}`;
      k.canvas.setAttribute('aria-label', pictureWords(k.head, k.weakest));
    }
    this.shared = shared;
    this.pictures();
  }

  #pictures() {
    const { scene, stage, store } = this.page;
    if (!this.kept.length) return;
    for (const { canvas, drawing, scene: drawn } of [{ ...this.live, scene }, ...this.kept]) drawCard(canvas, drawing, drawn, stage.look, store.view, this.shared);
  }
}
