// A pull until something fails: asked for here, computed behind the map, then shown on it step by step.

import { kilonewtons } from './balance.js';
import { Belongs } from './belongs.js';
import { attribute, element, say } from './element.js';
import { followed } from './following.js';
import { PullCurve } from './pull_curve.js';
import { PullMap } from './pull_map.js';
import { PullPlayer, stepWords } from './pull_player.js';
import { pullOf } from './pull_scenes.js';
import { whenSeen } from './seen.js';
import { sameState } from './state.js';
import { mistakeWords, part } from './words.js';

const $ = (id) => document.getElementById(id);
/** A number stays with its unit. */
const together = (text) => text.replace(/(\d) (%|kN|mm)/g, '$1\u00a0$2');
const words = (textContent, className = '') => element('p', { textContent, className });

export class Pull {
  #of = null;
  #off = new AbortController();
  pull = null;
  see = null;

  constructor(page) {
    this.page = page;
    const { stage } = page;
    this.map = new PullMap(stage);
    this.player = new PullPlayer($('pull-bar'), { shown: (step) => this.#step(step), closed: () => this.#close(true) });
    this.curve = new PullCurve($('pull-curve'), (step) => {
      this.player.pause();
      this.player.go(step);
    });
    this.button = element('button', { type: 'button', className: 'strong', textContent: 'Pull it until it fails', data: { test: 'ask-pull' } });
    this.button.addEventListener('click', () => this.#ask());
    this.answer = $('pull-answer');
    const again = element('button', { type: 'button', textContent: 'Pull this one', data: { test: 'pull-again' } });
    again.addEventListener('click', () => this.#ask());
    $('pull-ask').append(this.button);
    this.belongs = new Belongs([this.answer], page, { again });
    page.agings.push(() => this.#able());
    // A picture of a pull is of the connector that was pulled, and of no other.
    page.store.listen((store, what) => what === 'state' && this.shown && !sameState(store.state, this.#of) && this.#close(false));
    for (const input of $('pull-field').elements) {
      if (input.type === 'radio') input.addEventListener('change', () => this.map.colour(input.value));
    }
    // It plays when it is seen.
    this.seen = whenSeen($('pull-bar'), () => this.shown && this.player.startItself());
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
    this.#close(false);
    this.pull = this.see = null;
    this.button.hidden = false;
    this.button.disabled = true;
    const waiting = element('p', {});
    this.answer.replaceChildren(waiting);
    this.#of = state;
    this.belongs.of(state);
    try {
      const bytes = await followed('pull', { state }, waiting, { as: 'bytes', off });
      if (off !== this.#off) return;
      if (!bytes) {
        this.answer.replaceChildren(words('Cancelled.'));
        return;
      }
      this.pull = pullOf(bytes);
      this.#tell();
      this.page.say(this.pull.head.pull.sentence);
      if (!this.belongs.another) this.#show();
    } catch (error) {
      if (!error.mistakes) throw error;
      if (off !== this.#off) return;
      this.answer.replaceChildren(words([error.message, ...error.mistakes.map((m) => mistakeWords(m, this.page.told))].join(' ')));
    } finally {
      if (off === this.#off) this.button.disabled = false;
      this.#able();
    }
  }

  // The whole answer, in its section.
  #tell() {
    const { head } = this.pull;
    const { pull } = head;
    this.see = element('button', { type: 'button', className: 'strong', textContent: 'See it on the map', data: { test: 'pull-see' } });
    this.see.addEventListener('click', () => {
      this.#show();
      $('bench').scrollIntoView();
    });
    const rows = head.rows.map(({ what, value, more }) => element('tr', {}, [element('th', { scope: 'row', textContent: what }), element('td', { textContent: value }), element('td', { textContent: more })]));
    this.answer.replaceChildren(
      words(pull.sentence, 'answer'), this.see,
      ...(pull.assumed.length ? [element('ul', { className: 'warnings' }, pull.assumed.map((note) => element('li', { textContent: note })))] : []),
      element('div', { className: 'rows' }, [element('table', { data: { test: 'pull-rows' } }, [element('tbody', {}, rows)])]),
      ...(pull.share_sentence ? [words(pull.share_sentence)] : []),
      element('details', { className: 'rows' }, [element('summary', { textContent: 'What it leaves out' }), ...pull.left_out.map((sentence) => words(sentence))]),
      words(head.caution, 'caution-line'),
    );
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
    for (const input of $('pull-field').elements) if (input.type === 'radio') input.checked = input.value === this.map.field;
    this.map.show(pull);
    this.curve.show(pull);
    this.player.show(pull);
    this.seen();
  }

  // `asked`: by the reader, who then finds the map where the bar was.
  #close(asked) {
    if (!this.shown) return;
    const focused = $('pull-bar').contains(document.activeElement);
    this.player.show(null);
    this.map.show(null);
    $('bench').classList.remove('pulled');
    $('pull-story').hidden = $('pull-field').hidden = true;
    this.page.stage.ask();
    if (asked && focused) this.page.stage.canvas.focus({ preventScroll: true });
  }

  #step(step) {
    const { steps } = this.pull;
    const s = steps[step];
    this.map.at(step, `The connector at ${stepWords(s)}, deformed as it is.`);
    this.curve.at(step);
    const [load, stretch] = s.words.split(', ');
    say($('pull-load'), load);
    say($('pull-stretch'), stretch);
    say($('pull-phase'), s.isHook ? `${s.phase}, the gate gone` : s.phase);
    say($('pull-carry'), together(s.gate && s.load_kn > 0 ? `The gate carries ${kilonewtons(s.gate_kn)}, ${part(Math.max(0, s.gate_fraction))}; the spine ${kilonewtons(s.spine_kn)}.` : `The spine carries ${kilonewtons(s.spine_kn)}.`));
    say($('pull-strain'), together(s.plastic_at ? `Plastic strain of the bars up to ${(100 * s.plastic_strain).toFixed(1)} %: ${s.plastic_at}.` : 'All bars are elastic.'));
    attribute($('pull-story'), 'data-branch', s.branch);
  }
}
