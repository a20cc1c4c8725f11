// Kept states beside the live one, in the same colours, with the differences in words.

import { meshOf, sceneOf, unpack } from './answer.js';
import { kilonewtons } from './balance.js';
import { ask } from './connection.js';
import { Drawing } from './drawing.js';
import { element } from './element.js';
import { card, keptCard, nameOf } from './kept_card.js';
import { drawingOptions, rigOf, spanOf } from './looks.js';
import { seats } from './seats.js';
import { whenSeen } from './seen.js';
import { SharedScale } from './shared_scale.js';
import { sameState } from './state.js';
import { isState, recall, remember, whenElsewhere } from './stored.js';
import { bounds, fitting } from './view.js';
import { differenceWords, ifHeld, pictureWords } from './words.js';

const MOST = 4;
/** A kept one that the program did not answer for is asked for again after so long. */
const AGAIN_MS = 1500;
/** Not reached, too much at once, too long: another time it may be answered. */
const LATER = [0, 503, 504];
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

/** The furthest of stresses past an end of the scale; null where none goes past it. */
const furthest = (all, most) => (all.some((mpa) => mpa !== null) ? most(...all.filter((mpa) => mpa !== null)) : null);

const isKept = (one) => typeof one?.name === 'string' && typeof one.label === 'string' && isState(one.state);

export class Compare {
  constructor(home, page) {
    Object.assign(this, { home, page, kept: [], live: { ...card('now'), drawing: new Drawing() }, scale: new SharedScale() });
    this.live.head.textContent = 'Now';
    document.getElementById('keep').addEventListener('click', () => this.keep());
    this.keepHere = element('button', { type: 'button', className: 'strong', textContent: 'Keep this', data: { test: 'keep-here' } });
    this.keepHere.addEventListener('click', () => this.keep());
    this.empty = element('p', { className: 'empty' }, ['Nothing is kept yet. ', this.keepHere, ' Then drag the strap, open the gate or change a measure, and see here what it did.']);
    page.listeners.push(() => this.draw());
    page.agings.push(() => this.#age());
    new ResizeObserver(() => this.draw()).observe(home);
    this.pictures = whenSeen(home, () => this.#pictures());
    this.#lay();
    // The picture under the hand comes first.
    this.ready = new Promise((resolve) => page.arrivals.push(resolve));
    const right = (list) => Array.isArray(list) && list.every(isKept);
    this.put((recall('kept', right) ?? []).slice(0, MOST));
    whenElsewhere('kept', right, (list) => this.#mirror(list));
  }

  /** What is kept, in its order: names and states, for a link or a saved page. */
  list() {
    return this.kept.map((entry) => ({ name: nameOf(entry), state: entry.state }));
  }

  #remember() {
    remember('kept', this.kept.map(({ name, label, state }) => ({ name, label, state })));
  }

  // Another tab has kept, named, moved or removed: this one follows, or each would undo what the other did.
  #mirror(list) {
    const found = this.#found(list);
    const [there, working] = [found.filter(Boolean), this.kept.filter((k) => !k.scene)];
    found.forEach((entry, i) => entry && (entry.label = list[i].label));
    this.kept = [...there, ...working.filter((k) => !there.includes(k))];
    this.#lay();
    const full = this.put(list);
    if (full) this.page.notice.say(full);
  }

  // Which of those that are kept each of a list is, if any: the same state may be kept twice, under two names.
  #found(list) {
    const free = [...this.kept];
    return list.map(({ name, label, state }) => {
      const alike = free.filter((k) => sameState(k.state, state));
      const entry = alike.find((k) => k.name === name || nameOf(k) === nameOf({ name, label })) ?? alike[0];
      if (entry) free.splice(free.indexOf(entry), 1);
      return entry;
    });
  }

  async keep() {
    const { page } = this;
    if (!page.scene || this.kept.length >= MOST) return;
    const { state } = page.store;
    const entry = this.#entry('', '', { model: state.model, set: { ...state.set } });
    // Only what is known of this very state; else it is asked for.
    if (page.limitsNow && page.judgedShown) Object.assign(entry, { weakest: page.weakest(), waiting: false });
    if (await this.#work(entry)) page.say(`Kept as ${entry.name}.`);
  }

  /** Keeps further states beside those that are there; they keep their names. Says for how many there is no room. */
  put(list) {
    let full = 0;
    const found = this.#found(list);
    for (const [i, { name, label = '', state }] of list.entries()) {
      if (found[i]) continue;
      if (this.kept.length >= MOST) full += 1;
      else this.#work(this.#entry(name, label, state));
    }
    return full ? `There is no room for ${full} of the kept variants: up to ${MOST} are kept. Remove some and open the link again.` : '';
  }

  // Its letter is a free one; a name that is none is what it is called.
  #entry(name, label, state) {
    const free = NAMES.filter((n) => !this.kept.some((k) => k.name === n));
    const letter = free.includes(name) ? name : free[0];
    const called = label || (NAMES.includes(name) ? '' : name);
    const entry = { name: letter, label: called, state, drawing: new Drawing(), weakest: null, waiting: true, scene: null };
    Object.assign(entry, keptCard(entry, {
      name: (words) => this.#name(entry, words),
      move: (way) => this.#move(entry, way),
      go: () => this.page.store.replace(entry.state),
      drop: () => this.#drop(entry),
    }));
    this.kept.push(entry);
    return entry;
  }

  // Its picture and numbers; what cannot be had is not kept.
  async #work(entry) {
    await this.ready;
    try {
      entry.scene = await solveAll(entry.state, `keep${entry.name}`);
    } catch (error) {
      if (LATER.includes(error.status)) {
        // The program is busy or away: what was kept is not given up for that.
        setTimeout(() => this.#work(entry), AGAIN_MS);
        return false;
      }
      this.kept = this.kept.filter((k) => k !== entry);
      this.#remember();
      this.#lay();
      this.page.notice.say(`${nameOf(entry)} could not be kept: ${error.message}`);
      return false;
    }
    entry.head = entry.scene.head;
    entry.rig.textContent = `${entry.head.findings.connector}; ${entry.head.rig_words}`;
    if (entry.waiting) this.#judge(entry);
    this.#remember();
    this.#lay();
    return true;
  }

  // What fails first in a kept state is asked for with that state, whatever the hand does meanwhile.
  async #judge(entry) {
    try {
      const told = await ask('limits', { state: entry.state, quick: true }, 'json', `limits${entry.name}`);
      if (!told || !this.kept.includes(entry)) return;
      entry.waiting = false;
      if (told.limits.fails_first) entry.weakest = { what: told.limits.fails_first, at_kn: told.limits.fails_at_kn };
    } catch (error) {
      if (!this.kept.includes(entry)) return;
      if (LATER.includes(error.status)) setTimeout(() => this.kept.includes(entry) && this.#judge(entry), AGAIN_MS);
      else entry.waiting = false;
    }
    this.draw();
  }

  #name(entry, words) {
    entry.label = words === entry.name ? '' : words;
    this.#remember();
    this.#lay();
  }

  #move(entry, way) {
    const at = this.kept.indexOf(entry);
    const other = this.kept[at + way];
    if (!other) return;
    [this.kept[at], this.kept[at + way]] = [other, entry];
    this.#remember();
    this.#lay();
    entry.hold(way);
    this.page.say(`${nameOf(entry)} is now ${at + way + 1} of ${this.kept.length}.`);
  }

  #drop(entry) {
    this.kept = this.kept.filter((k) => k !== entry);
    this.#remember();
    this.#lay();
    document.getElementById('keep').focus();
  }

  get #shown() {
    return this.kept.filter((k) => k.scene);
  }

  #lay() {
    const full = this.kept.length >= MOST;
    document.getElementById('keep').disabled = full;
    document.getElementById('keep').textContent = full ? 'Four kept' : this.kept.length ? `Keep (${this.kept.length})` : 'Keep';
    const shown = this.#shown;
    if (shown.length) this.home.replaceChildren(this.scale.box, this.live.box, ...shown.map((k) => k.box));
    else this.home.replaceChildren(this.empty);
    shown.forEach((k, i) => k.stand(i, shown.length));
    // All pictures span the range that the hottest of them needs.
    this.page.stage.ask();
    this.draw();
  }

  draw() {
    const { scene, stage, store } = this.page;
    if (!scene) return;
    const { field } = store.view;
    const shown = this.#shown;
    const most = Math.max(0, ...shown.map((k) => spanOf(k.scene, field).high));
    if (stage.most !== most) {
      stage.most = most;
      stage.ask();
    }
    if (!shown.length) return;
    const live = { head: scene.head, weakest: this.page.weakest(), waiting: !this.page.judgedShown };
    const numbers = (home, { head, weakest, waiting }) => {
      const first = weakest ? ` First to fail: ${weakest.what}, ${kilonewtons(weakest.at_kn)}.` : waiting ? ' First to fail: working it out\u2026' : '';
      home.textContent = `${ifHeld(head) ? 'If nothing gave way: gate' : 'Gate'} ${kilonewtons(head.findings.share.gate_kn)} of ${kilonewtons(head.findings.load_kn)}.${first}`;
      home.setAttribute('aria-busy', String(!weakest && waiting));
    };
    this.live.rig.textContent = `${scene.head.findings.connector}; ${scene.head.rig_words}`;
    numbers(this.live.numbers, live);
    this.live.canvas.setAttribute('aria-label', pictureWords(scene.head, live.weakest));
    for (const k of shown) {
      numbers(k.numbers, k);
      k.words.textContent = `Against ${nameOf(k)}: ${differenceWords(k, live).replace(/^./, (c) => c.toLowerCase())}`;
      k.canvas.setAttribute('aria-label', pictureWords(k.head, k.weakest));
    }
    this.#age();
    this.shared = spanOf(scene, field, most);
    const past = [scene, ...shown.map((k) => k.scene)].map((one) => spanOf(one, field, this.shared.high).past);
    this.scale.show({ ...this.shared, past: [Math.min, Math.max].map((most, end) => furthest(past.map((p) => p[end]), most)) }, field);
    this.pictures();
  }

  // The live card, and what is said against it, is of the state that is set or says that it is not.
  #age() {
    const { scene, store } = this.page;
    if (!scene || !this.#shown.length) return;
    const old = !sameState(scene.state, store.state);
    this.live.head.textContent = old ? 'Before' : 'Now';
    this.live.box.setAttribute('aria-busy', String(old));
    for (const part of [this.live.box, ...this.#shown.map((k) => k.words)]) part.classList.toggle('waits', old);
  }

  #pictures() {
    const { scene, stage, store } = this.page;
    const shown = this.#shown;
    if (!shown.length) return;
    for (const { canvas, drawing, scene: drawn } of [{ ...this.live, scene }, ...shown]) drawCard(canvas, drawing, drawn, stage.look, store.view, this.shared.high);
  }
}
