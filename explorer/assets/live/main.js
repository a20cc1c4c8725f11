// The page: brings state, server, picture and controls together.

import { meshOf, sceneOf, unpack } from './answer.js';
import { Balance } from './balance.js';
import { Address, goTo } from './address.js';
import { Charts } from './charts.js';
import { Coming, stateOf } from './coming.js';
import { Compare } from './compare.js';
import { Line, Refusal, ask, solve, start, whenCut } from './connection.js';
import { Controls } from './controls.js';
import { Drag } from './drag.js';
import { watchEdges } from './edges.js';
import { say } from './element.js';
import { Explain, Forecast } from './forecast.js';
import { Header } from './header.js';
import { Hover } from './hover.js';
import { openingLink } from './last_state.js';
import { hasFields, wantedFields } from './looks.js';
import { Notice } from './notice.js';
import { Opening } from './opening.js';
import { Photo } from './photo.js';
import { Pull } from './pull.js';
import { Records } from './records.js';
import { bringBack } from './remembered.js';
import { Sensitivity } from './sensitivity.js';
import { Share } from './share.js';
import { Sheet } from './sheet.js';
import { Stage } from './stage.js';
import { Stamp } from './stamp.js';
import { Store } from './state.js';
import { recallWord } from './stored.js';
import { Told } from './told.js';
import { Trouble } from './trouble.js';
import { Speaker, ifHeld, pictureWords } from './words.js';

const $ = (id) => document.getElementById(id);
/** The hand rests when nothing changed for so long. What needs further solves waits for that: it would slow the drag. */
const REST_MS = 200;
/** What fails first follows a moving hand so often, as long as pictures come in time all the same. */
const FOLLOW_MS = 400;
const IN_TIME_MS = 40;
/** Sliders and numbers beside the picture follow it so often while the hand moves; where pictures are late, as seldom as what fails first. */
const BESIDE_MS = 120;
/** Limits that were refused are asked for once more after so long. */
const AGAIN_MS = 1500;

// The theme first: nothing should flash.
const theme = recallWord('pullmap-theme');
if (theme) document.documentElement.dataset.theme = theme;

async function open() {
  const told = await start();
  const link = openingLink(told);
  const store = new Store(stateOf(link, told), link.view);
  const page = new Page(store, told);
  page.ask();
  page.coming.arrived(link);
  if (link.section) goTo(link.section);
  return page;
}

class Page {
  #touched = null;
  #resting = 0;
  #judgedAt = 0;
  #waited = 0;
  #shown = 0;
  #besideAt = 0;
  #meshes = new Map();

  constructor(store, told) {
    Object.assign(this, { store, told, scene: null, limits: null, listeners: [], arrivals: [], agings: [] });
    this.stage = new Stage($('stage'), $('picture'), store);
    const hand = (event) => (this.#touched = event?.timeStamp ?? performance.now());
    this.drag = new Drag(this.stage, store, hand);
    this.controls = new Controls($('controls'), store, told, hand);
    this.hover = new Hover(this.stage, store, $('reading'), $('probe'));
    this.balance = new Balance($('balance'));
    this.stamp = new Stamp($('weakest'), $('tells'), this);
    this.said = new Told(this.stage, told);
    this.speaker = new Speaker($('live'));
    this.describer = new Speaker($('picture-words'), 250);
    this.trouble = new Trouble($('mistakes'), this, () => this.ask());
    this.solves = new Line((q) => this.#solve(q), (scene, q) => this.#arrived(scene, q), (error, q) => this.#refused(error, q));
    this.judged = new Line((q) => ask('limits', { state: q.state, quick: q.quick }), (answer, q) => this.#limits(answer, q), (error, q) => this.#unjudged(error, q));
    // The program ended, or is being started again: what it does not answer is not told as if it had.
    whenCut(() => this.ask());
    $('caution').textContent = told.caution;
    $('source').textContent = `pullmap ${told.program}`;
    this.header = new Header(this);
    this.names = this.header.names;
    store.listen((_, what) => this.#changed(what));
    this.coming = new Coming(this);
    this.address = new Address(this, (link) => this.coming.open(link));
    this.notice = new Notice(this);
    this.compare = new Compare($('kept'), this);
    this.charts = new Charts($('charts'), this);
    this.forecast = new Forecast($('forecast-bars'), this);
    this.sensitivity = new Sensitivity($('forecast-share'), this);
    this.pull = new Pull(this);
    this.explain = new Explain($('explain-form'), $('explain-answer'), this);
    this.share = new Share($('share-menu'), this);
    this.opening = new Opening(this);
    this.photo = new Photo($('photo-desk'), this);
    this.records = new Records(this);
    bringBack(this);
    this.sheet = new Sheet(this);
    watchEdges({ head: document.querySelector('.top'), said: this.notice.box, stage: $('stage'), foot: document.querySelector('.caution') });
    this.header.show();
  }

  /** Says a short thing to those who listen to the page. */
  say(words) {
    this.speaker.say(words);
  }

  /** Asks for a picture of the present state. */
  ask() {
    this.solves.put({ state: this.store.state, quick: true, touched: this.#touched, view: { ...this.store.view } });
    this.#touched = null;
    document.body.classList.add('moving');
    this.stage.move(true);
    clearTimeout(this.#resting);
    this.#resting = setTimeout(() => this.#rest(), REST_MS);
  }

  /** Everything that shows results marks those that are not of the state that is set. */
  aged() {
    for (const told of this.agings) told(this);
    this.stamp.show();
  }

  #rest() {
    this.address.write();
    const known = this.limitsNow?.findings;
    if (this.solves.idle && !known && this.impossible !== this.store.state) this.judged.put({ state: this.store.state, quick: false });
    else if (!this.solves.idle) this.#resting = setTimeout(() => this.#rest(), REST_MS);
    document.body.classList.remove('moving');
    this.stage.move(false);
    this.drag.settle();
    this.controls.show(this.scene);
    for (const told of this.listeners) told(this);
  }

  async #solve(q) {
    const [held = null] = this.#meshes.keys();
    this.trouble.asked();
    const bytes = await solve({ state: q.state, want: { mesh_id: held, fields: wantedFields(q.view), quick: q.quick } }).finally(() => this.trouble.over());
    if (!bytes) return null;
    const answer = unpack(bytes);
    const id = answer.head.mesh_id;
    if (answer.blocks['frame.points']) {
      this.#meshes.clear();
      this.#meshes.set(id, meshOf(answer));
    }
    return sceneOf(answer, this.#meshes.get(id));
  }

  #arrived(scene, q) {
    this.scene = scene;
    scene.state = q.state;
    if (this.impossible === q.state) this.impossible = null;
    this.coming.solved(q.state);
    this.trouble.answered(q.state === this.store.state);
    this.#complete();
    this.stage.show(scene);
    this.stage.now();
    if (q.touched) {
      const took = performance.now() - q.touched;
      this.#waited += 0.2 * (took - this.#waited);
      $('stage').dataset.ms = took.toFixed(1);
      performance.measure('hand to picture', { start: q.touched, end: performance.now() });
    }
    $('stage').dataset.answer = scene.answer;
    this.#story();
    for (const told of this.arrivals) told(this);
    const now = performance.now();
    if (!this.drag.busy || now - this.#besideAt > (this.#waited < IN_TIME_MS ? BESIDE_MS : FOLLOW_MS)) {
      this.#besideAt = now;
      this.controls.show(scene);
    }
    // Behind the picture, never beside its solve.
    if (this.stage.moving && this.judged.idle && now - this.#judgedAt > FOLLOW_MS && this.#waited < IN_TIME_MS) {
      this.#judgedAt = now;
      this.judged.put({ state: q.state, quick: true });
    }
    if (!hasFields(scene, this.store.view)) this.ask();
  }

  #refused(error, q) {
    // A slip of the page itself belongs in the console, where it is looked for.
    if (!(error instanceof Refusal)) {
      reportError(error);
      return;
    }
    if (this.coming.refused(error, q.state)) return;
    if (error.status === 422) this.impossible = q.state;
    this.trouble.failed(error);
    this.controls.show(this.scene);
  }

  #limits(answer, q) {
    // Of the picture that is shown; and of the state that is set, unless that is not solved yet or cannot be.
    const fresh = q.state === this.scene?.state;
    this.limits = answer;
    this.limitsOf = q.state;
    if (fresh && this.#complete()) {
      const { head } = this.scene;
      this.said.show(head);
      this.speaker.say(`${head.sentence} ${head.rig_words}.`);
      this.balance.show(head.findings.share, head.findings.load_kn, !head.gate_carries, ifHeld(head));
      this.stage.ask();
    }
    this.stamp.show();
    if (!fresh || q.state !== this.store.state) return;
    for (const told of this.listeners) told(this);
    this.#describe();
  }

  // What quick findings leave out comes with the limits, whichever of the two was answered first. Whether it is there.
  #complete() {
    if (!this.judgedShown || !this.limits.findings) return false;
    Object.assign(this.scene.head, { findings: this.limits.findings, ...this.limits.told });
    return true;
  }

  // Too busy, too slow, or not to be reached: once more after a while, unless the hand went on.
  #unjudged(error, q) {
    if (q.quick || error.status === 422) return;
    setTimeout(() => q.state === this.store.state && this.judged.idle && this.judged.put(q), AGAIN_MS);
  }

  /** The picture that is looked at: that of a pull, or the ordinary one. */
  get looked() {
    return this.pull.shown ? this.pull.map : this.stage;
  }

  /** The last limits, if they are those of the state that is set. */
  get limitsNow() {
    return this.limitsOf === this.store.state ? this.limits : null;
  }

  /** Whether limits of the state that the picture shows are known. */
  get judgedShown() {
    return this.limitsOf === this.scene?.state;
  }

  /** What fails first in the state that the picture shows; null until that is known. */
  weakest() {
    const limits = this.judgedShown ? this.limits?.limits : null;
    return limits?.fails_first ? { what: limits.fails_first, at_kn: limits.fails_at_kn } : null;
  }

  #story() {
    const { head } = this.scene;
    say($('title'), head.findings.connector);
    say($('rig-words'), head.rig_words);
    this.balance.show(head.findings.share, head.findings.load_kn, !head.gate_carries, ifHeld(head));
    this.stamp.show();
    this.said.show(head);
    this.speaker.say(`${head.sentence} ${head.rig_words}.`);
    this.#describe();
  }

  #describe() {
    if (this.scene) this.describer.say(pictureWords(this.scene.head, this.weakest()));
  }

  #changed(what) {
    if (what === 'state') {
      this.ask();
      // A mouse tells of itself many times in a frame; what stands on the page follows once.
      this.#shown ||= requestAnimationFrame(() => {
        this.#shown = 0;
        this.aged();
        this.header.show();
        if (this.scene) this.stage.soon(this.solves.idle);
        if (!this.drag.busy) this.controls.show(this.scene);
      });
      return;
    }
    this.header.show();
    this.address.write();
    if (this.scene && !hasFields(this.scene, this.store.view)) this.ask();
    this.stage.ask();
  }
}

open().catch((error) => {
  $('sentence').textContent = error.message;
});
