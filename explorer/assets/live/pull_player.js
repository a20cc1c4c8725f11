// The bar under the map of a pull: play and pause, a slider over its steps, what shows at which of them, and the way back.

import { fillSlider } from './controls.js';
import { attribute, element, say } from './element.js';

/** A step stands so long while it plays, ms. */
const STEP_MS = 170;
const STILL = matchMedia('(prefers-reduced-motion: reduce)');
const SVG = 'http://www.w3.org/2000/svg';

const icon = (path) => {
  const svg = document.createElementNS(SVG, 'svg');
  svg.setAttribute('viewBox', '0 0 24 24');
  svg.setAttribute('aria-hidden', 'true');
  const line = document.createElementNS(SVG, 'path');
  line.setAttribute('d', path);
  svg.append(line);
  return svg;
};
const PLAY = 'M8 5.500v13l10.500-6.500Z';
const PAUSE = 'M8.500 5.500v13M15.500 5.500v13';

/** Words of a step: load, stretch and what it shows. */
export const stepWords = ({ words, phase }) => `${words}, ${phase}`;

export class PullPlayer {
  #timer = 0;

  /** `shown(step)` is told which step is to be seen, `closed()` that the ordinary map is wanted again. */
  constructor(home, { shown, closed }) {
    Object.assign(this, { home, shown, pull: null, step: 0 });
    this.play = element('button', { type: 'button', className: 'icon', data: { test: 'pull-play' } });
    this.slider = element('input', { type: 'range', id: 'pull-step', min: 0, step: 1, 'aria-label': 'Step of the pull', data: { test: 'pull-step' } });
    this.marks = element('div', { className: 'pull-marks', role: 'group', 'aria-label': 'What shows on the way' });
    this.lines = document.createElementNS(SVG, 'svg');
    this.lines.setAttribute('class', 'pull-lines');
    this.lines.setAttribute('aria-hidden', 'true');
    this.hook = element('span', { className: 'pull-hook', 'aria-hidden': 'true' }, [element('span', { textContent: 'open hook' })]);
    this.words = element('output', { className: 'pull-words', htmlFor: 'pull-step', data: { test: 'pull-words' } });
    this.name = element('span', { className: 'pull-name', 'aria-hidden': 'true', data: { test: 'pull-name' } });
    const close = element('button', { type: 'button', className: 'quiet', 'aria-label': 'Back to the map', data: { test: 'pull-close' } }, ['Back', element('span', { className: 'of', textContent: 'to the map' })]);
    this.way = element('div', { className: 'pull-way' }, [this.marks, this.lines, this.hook, this.slider]);
    home.append(element('div', { className: 'pull-row' }, [this.play, element('div', { className: 'pull-told' }, [this.words, this.name]), close]), this.way);
    // A live region would speak with every step that plays: the slider says its value by itself.
    attribute(this.words, 'aria-live', 'off');
    this.slider.addEventListener('input', () => {
      this.pause();
      this.go(Number(this.slider.value));
    });
    this.play.addEventListener('click', () => (this.#timer ? this.pause() : this.start()));
    close.addEventListener('click', closed);
    home.addEventListener('keydown', (e) => e.key === 'Escape' && closed());
    new ResizeObserver(() => this.pull && this.#place()).observe(this.way);
    this.#playing(false);
  }

  /** Shows a pull from its beginning, or where nothing may move by itself, from the end of its gate; null puts the bar away. */
  show(pull) {
    this.pause();
    this.pull = pull;
    this.home.hidden = !pull;
    if (!pull) return;
    const last = pull.steps.length - 1;
    this.slider.max = last;
    this.discs = pull.head.marks.map(({ words, shown }, i) => {
      const disc = element('button', { type: 'button', className: 'pull-mark-at', textContent: String(i + 1), 'aria-label': words, data: { shown, test: 'pull-mark' } });
      for (const [over, seen] of [['pointerenter', true], ['focus', true], ['pointerleave', false], ['blur', false]]) disc.addEventListener(over, () => this.#name(seen ? disc : null));
      disc.addEventListener('click', () => {
        this.pause();
        this.go(shown);
      });
      return disc;
    });
    this.marks.replaceChildren(...this.discs);
    this.#place();
    this.go(STILL.matches ? pull.steps.findLastIndex((step) => !step.isHook) : 0);
  }

  /** Plays by itself, unless the reader wants nothing to move. */
  startItself() {
    if (!STILL.matches) this.start();
  }

  start() {
    this.pause();
    // A single step does not play.
    if (this.pull.steps.length < 2) return;
    if (this.step >= this.pull.steps.length - 1) this.go(0);
    this.#playing(true);
    const next = () => {
      this.go(this.step + 1);
      if (this.step >= this.pull.steps.length - 1) this.pause();
      else this.#timer = setTimeout(next, STEP_MS);
    };
    this.#timer = setTimeout(next, STEP_MS);
  }

  pause() {
    clearTimeout(this.#timer);
    this.#timer = 0;
    this.#playing(false);
  }

  #playing(playing) {
    this.play.replaceChildren(icon(playing ? PAUSE : PLAY));
    attribute(this.play, 'aria-label', playing ? 'Pause the pull' : 'Play the pull');
    this.play.title = playing ? 'Pause' : 'Play';
  }

  go(step) {
    this.step = step;
    const { steps } = this.pull;
    const words = stepWords(steps[step]);
    this.slider.value = step;
    fillSlider(this.slider);
    attribute(this.slider, 'aria-valuetext', words);
    say(this.words, steps[step].words);
    for (const disc of this.discs) disc.classList.toggle('past', Number(disc.dataset.shown) <= step);
    this.#name(null);
    this.shown(step);
  }

  // The marks stand over their steps, pushed apart where those lie close together, each with a line to where it belongs.
  #place() {
    const { way, discs, pull } = this;
    const wide = way.clientWidth;
    if (!wide || !discs) return;
    const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
    const [thumb, gap] = [1.25 * rem, Math.max(1.62 * rem, 25)];
    const at = (step) => thumb / 2 + ((wide - thumb) * step) / Math.max(1, pull.steps.length - 1);
    const true_ = pull.head.marks.map(({ shown }) => at(shown));
    const placed = apart(true_, gap, [gap / 2, wide - gap / 2]);
    const [top, low] = [1.72 * rem, 2.55 * rem];
    this.lines.setAttribute('viewBox', `0 0 ${wide} ${low}`);
    this.lines.style.height = `${low}px`;
    this.lines.replaceChildren(...placed.map((x, i) => {
      discs[i].style.left = `${x}px`;
      const line = document.createElementNS(SVG, 'path');
      line.setAttribute('d', `M${x.toFixed(1)} ${top - 4}L${true_[i].toFixed(1)} ${low}`);
      return line;
    }));
    const first = pull.steps.findIndex((step) => step.isHook);
    this.hook.hidden = first < 0;
    if (first < 0) return;
    this.hook.style.left = `${0.5 * (at(Math.max(0, first - 1)) + at(first))}px`;
    this.hook.style.right = '0';
  }

  // The name of the mark that is pointed at, else of those that first show at this step, else what the step shows.
  #name(pointed) {
    const { discs, step } = this;
    const at = pointed ?? (discs.includes(document.activeElement) ? document.activeElement : null);
    const named = at ? [at] : discs.filter((disc) => Number(disc.dataset.shown) === step);
    say(this.name, named.map((disc) => `${disc.textContent} ${disc.getAttribute('aria-label')}`).join('; ') || this.pull.steps[step].phase);
    this.name.classList.toggle('of-mark', named.length > 0);
  }
}

/** Places along a line, in order, at least `gap` from each other and within its ends, as near as may be to where they belong. */
export function apart(places, gap, [low, high]) {
  const order = places.map((_, i) => i).sort((a, b) => places[a] - places[b] || a - b);
  // Groups that touch share their way: each stands so that its middle is the middle of where its members belong.
  const groups = [];
  for (const i of order) {
    let group = { members: [i], sum: places[i] };
    const start = ({ members, sum }) => Math.min(high - gap * (members.length - 1), Math.max(low, sum / members.length - (gap * (members.length - 1)) / 2));
    while (groups.length) {
      const before = groups[groups.length - 1];
      if (start(before) + gap * before.members.length <= start(group)) break;
      groups.pop();
      group = { members: [...before.members, ...group.members], sum: before.sum + group.sum };
    }
    groups.push(group);
  }
  const out = [];
  for (const { members, sum } of groups) {
    const first = Math.min(high - gap * (members.length - 1), Math.max(low, sum / members.length - (gap * (members.length - 1)) / 2));
    members.forEach((i, k) => (out[i] = first + gap * k));
  }
  return out;
}
