// A pull until something fails: asked for here, computed behind the map, then shown on it step by step.

import { Belongs } from './belongs.js';
import { attribute, element, say } from './element.js';
import { followed } from './following.js';
import { PullCurve } from './pull_curve.js';
import { PullMap } from './pull_map.js';
import { PullPlayer, stepWords } from './pull_player.js';
import { pullOf } from './pull_scenes.js';
import { whenSeen } from './seen.js';
import { sameState } from './state.js';
import { mistakeWords } from './words.js';

const $ = (id) => document.getElementById(id);
/** A number stays with its unit. */
const together = (text) => text.replace(/(\d) (%|kN|mm)/g, '$1\u00a0$2');
const words = (textContent, className = '') => element('p', { textContent, className });
const items = (all) => all.map((textContent) => element('li', { textContent }));
/** Whether nothing has the focus that can be seen. */
const lost = () => document.activeElement === document.body || !document.activeElement?.checkVisibility();

export class Pull {
  #of = null;
  #off = new AbortController();
  #busy = false;
  pull = null;
  see = null;

  constructor(page) {
    this.page = page;
    const { stage } = page;
    this.map = new PullMap(stage);
    this.player = new PullPlayer($('pull-bar'), { shown: (step) => this.#step(step), closed: () => this.#close() });
    this.curve = new PullCurve($('pull-curve'), (step) => {
      this.player.pause();
      this.player.go(step);
    });
    this.button = element('button', { type: 'button', className: 'strong', textContent: 'Pull it until it fails', data: { test: 'ask-pull' } });
    this.button.addEventListener('click', () => this.#ask());
    this.answer = $('pull-answer');
    const again = (this.again = element('button', { type: 'button', textContent: 'Pull this one', data: { test: 'pull-again' } }));
    again.addEventListener('click', () => this.#ask());
    $('pull-ask').append(this.button);
    this.belongs = new Belongs([this.answer], page, { again });
    page.agings.push(() => this.#able());
    // A picture of a pull is of the connector that was pulled, and of no other.
    page.store.listen((store, what) => what === 'state' && this.#changed(store.state));
    // What is to be known of the state stands beside its pull, too.
    this.moved = ['hazards', 'warnings'].map((id) => ({ one: $(id), home: $(id).parentElement }));
    for (const input of $('pull-field').elements) {
      if (input.type === 'radio') input.addEventListener('change', () => this.map.colour(input.value));
    }
    // It plays when it is seen.
    this.seen = whenSeen($('pull-bar'), () => this.shown && this.player.startItself(), '0px');
  }

  /** Whether the map shows a pull. */
  get shown() {
    return this.map.pull !== null;
  }

  async #ask() {
    const { state } = this.page.store;
    // One at a time: what is asked anew calls off what was asked before.
    this.#off.abort();
    const off = (this.#off = new AbortController());
    this.#close();
    this.pull = this.see = null;
    this.#busy = true;
    this.button.hidden = false;
    this.button.disabled = true;
    const waiting = element('p', {});
    this.answer.replaceChildren(waiting);
    this.#of = state;
    this.belongs.of(state);
    try {
      const coming = followed('pull', { state }, waiting, { as: 'bytes', off, minutes: true });
      if (lost() || document.activeElement.disabled) waiting.querySelector('button').focus({ preventScroll: true });
      const bytes = await coming;
      if (off !== this.#off) return;
      if (!bytes) {
        this.#none(words('Cancelled.'));
        return;
      }
      this.pull = pullOf(bytes);
      this.#tell();
      this.page.say(this.pull.head.pull.sentence);
      if (!this.belongs.another) this.#show();
    } catch (error) {
      if (!error.mistakes) throw error;
      if (off !== this.#off) return;
      this.#none(words([error.message, ...error.mistakes.map((m) => mistakeWords(m, this.page.told))].join(' ')));
    } finally {
      if (off === this.#off) {
        this.#busy = this.button.disabled = false;
        this.#able();
        // What had the focus is gone: the way on takes it.
        if (lost()) [this.see, this.button, this.again].find((one) => one?.checkVisibility() && !one.disabled)?.focus({ preventScroll: true });
      }
    }
  }

  // There is no answer, and so nothing that belongs to a state.
  #none(why) {
    this.answer.replaceChildren(why);
    this.belongs.of(null);
  }

  #changed(state) {
    if (!this.#of || sameState(state, this.#of)) return;
    this.#close();
    // Why there is none is about the state before.
    if (!this.pull && !this.#busy) this.answer.replaceChildren();
  }

  // The whole answer, in its section.
  #tell() {
    const { head } = this.pull;
    const { pull } = head;
    this.see = element('button', { type: 'button', className: 'strong', textContent: 'See it on the map', data: { test: 'pull-see' } });
    this.see.addEventListener('click', () => {
      this.#show();
      $('bench').scrollIntoView();
      this.player.slider.focus({ preventScroll: true });
    });
    const rows = head.rows.map(({ what, value, more }) => element('tr', {}, [element('th', { scope: 'row', textContent: what }), element('td', { textContent: value }), element('td', { textContent: more })]));
    this.answer.replaceChildren(
      words(pull.sentence, 'answer'), this.see,
      element('ul', { className: 'warnings', data: { test: 'pull-answer-warnings' } }, items([...this.#warnings(), ...pull.assumed])),
      element('div', { className: 'rows' }, [element('table', { data: { test: 'pull-rows' } }, [element('tbody', {}, rows)])]),
      ...(pull.share_sentence ? [words(pull.share_sentence)] : []),
      element('details', { className: 'rows' }, [element('summary', { textContent: 'What it leaves out' }), ...pull.left_out.map((sentence) => words(sentence))]),
      words(head.caution, 'caution-line'),
    );
  }

  // What of its numbers is no result.
  #warnings() {
    const { pull, told } = this.pull.head;
    return [...(told.stopped ? [told.stopped] : []), ...pull.warnings];
  }

  #able() {
    // Another state is asked for beside the words that tell of it.
    this.button.hidden = Boolean(this.pull);
    if (this.see) this.see.disabled = this.belongs.another;
  }

  #show() {
    if (this.shown) return;
    const { pull } = this;
    const { head } = pull;
    $('bench').classList.add('pulled');
    $('pull-story').hidden = $('pull-field').hidden = false;
    say($('pull-sentence'), head.pull.sentence);
    say($('pull-rig'), `${head.pull.rig}; pulled until it fails`);
    $('pull-caution').textContent = head.caution;
    $('pull-warnings').replaceChildren(...items(this.#warnings()));
    const [hazards, notes] = this.moved;
    $('pull-sentence').after(hazards.one);
    $('pull-caution').before(notes.one);
    for (const input of $('pull-field').elements) if (input.type === 'radio') input.checked = input.value === this.map.field;
    this.map.show(pull);
    this.curve.show(pull);
    this.player.show(pull);
    this.seen();
    if ($('bench').contains(document.activeElement) && lost()) this.player.slider.focus({ preventScroll: true });
  }

  // The map is back where the pull was; so is the focus.
  #close() {
    if (!this.shown) return;
    const focused = ['pull-bar', 'pull-story', 'pull-field'].some((id) => $(id).contains(document.activeElement));
    for (const { one, home } of this.moved) home.append(one);
    this.player.show(null);
    this.map.show(null);
    $('bench').classList.remove('pulled');
    $('pull-story').hidden = $('pull-field').hidden = true;
    this.page.stage.ask();
    if (focused) this.page.stage.canvas.focus({ preventScroll: true });
  }

  #step(step) {
    const { steps } = this.pull;
    const s = steps[step];
    this.map.at(step, `The connector at ${stepWords(s)}, deformed as it is.`);
    this.curve.at(step);
    say($('pull-load'), s.load);
    say($('pull-stretch'), s.stretch);
    say($('pull-phase'), s.phase);
    say($('pull-carry'), together(s.carries));
    say($('pull-strain'), together(s.yielded));
    $('pull-strain').classList.toggle('untrusted', s.plastic_trusted === false);
    attribute($('pull-story'), 'data-branch', s.branch);
  }
}
