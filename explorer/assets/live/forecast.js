// The forecast: the parts as bars, each as long as the load at which it reaches its limit, lowest first; then the story.

import { kilonewtons } from './balance.js';
import { Belongs } from './belongs.js';
import { roundUp } from './colour.js';
import { element } from './element.js';
import { followed } from './following.js';
import { Range } from './range.js';
import { whenSeen } from './seen.js';
import { sameModel } from './state.js';
import { TakeOver } from './take_over.js';
import { likelihood, mistakeWords, unitWords } from './words.js';

export class Forecast {
  constructor(home, page) {
    Object.assign(this, { home, page });
    this.belongs = new Belongs([home], page, { meanwhile: 'the forecast of this one is being worked out' });
    this.range = new Range(home, page, () => {
      this.show();
      // The stamp tells the range beside what fails first.
      page.aged();
    });
    page.listeners.push(whenSeen(home, () => this.show()));
  }

  show() {
    const told = this.page.judgedShown ? this.page.limitsNow : null;
    if (!told?.limits) {
      if (!this.home.querySelector('details')) this.home.replaceChildren(element('p', { className: 'empty', textContent: 'Working it out\u2026' }));
      return;
    }
    const { limits: parts, story = [], fails_first, fails_at_kn, peak_kn, goes_on_to: then } = told.limits;
    // The pull may go on after the first part, on the open hook: what is beyond then supposes that the first part still holds.
    const hook = then ? [{ what: then, at_kn: peak_kn, kind: 'opens', formula: '', inputs: [], source: 'What the hook holds once the gate no longer carries: here the pull ends.' }] : [];
    const goesOn = parts.some((p) => p.supposes);
    const known = [...parts.filter((p) => p.at_kn !== null), ...hook].sort((a, b) => a.at_kn - b.at_kn);
    const { head } = this.page.scene;
    const load = told.findings?.load_kn ?? head.findings.load_kn;
    const broke = this.#broke();
    // Somewhat beyond what goes first; what holds far longer is torn off, or it would press the rest together.
    const longest = roundUp(Math.max(1.15 * load, 1.15 * (broke?.kn ?? 0), 1.05 * this.range.longest, 2.4 * (told.limits.fails_at_kn ?? known[0]?.at_kn ?? load)));
    const place = (kn) => `${Math.min(100, (100 * kn) / longest)}%`;
    const axis = element('div', { className: 'axis', 'aria-hidden': 'true' }, [this.#axis(longest, load, place, broke)]);
    axis.classList.toggle('broke', Boolean(broke));
    const open = new Set([...this.home.querySelectorAll('details[open]')].map((d) => d.dataset.part));
    const bars = known.map((p) => {
      const bar = element('span', { className: p.what === fails_first ? 'bar first' : p.kind === 'yields' || p.kind === 'bends' || p.supposes ? 'bar bends' : 'bar' });
      bar.style.width = place(p.at_kn);
      bar.classList.toggle('torn', p.at_kn > longest);
      const pull = element('span', { className: 'pull-mark', 'aria-hidden': 'true' });
      pull.style.left = place(load);
      const marks = [pull];
      if (broke) marks.push(element('span', { className: 'broke-mark', 'aria-hidden': 'true' }));
      if (broke) marks[1].style.left = place(broke.kn);
      const inputs = (p.inputs ?? []).map((i) => `${i.name} = ${Number(i.value.toPrecision(4))} ${i.unit}`).join(', ');
      const source = element('p', { className: 'source' }, [element('code', { textContent: p.formula }), inputs ? ` with ${inputs}. ` : ' ', p.source]);
      return element('details', { open: open.has(p.what), data: { part: p.what } }, [
        element('summary', {}, [
          element('span', { className: 'what', textContent: p.supposes ? `${p.what}, ${p.supposes}` : p.what }),
          element('span', { className: 'track', 'aria-hidden': 'true' }, [bar, ...marks]),
          element('b', { textContent: kilonewtons(p.at_kn) }),
        ]), source,
      ]);
    });
    const never = parts.filter((p) => p.at_kn === null).map((p) => p.what);
    const tale = element('div', { className: 'tale' }, [...story.map((s) => element('p', { textContent: s })), this.range.words(story), element('p', { className: 'caution-line', textContent: told.caution })]);
    const key = element('p', { className: 'key', textContent: `Solid bars break, hollow ones only yield or bend${goesOn ? `, or suppose that what fails first, at ${kilonewtons(fails_at_kn)}, still holds` : ''}; torn ones reach beyond the scale. The dashed line is the present pull, ${kilonewtons(load)}.${never.length ? ` Without a limit here: ${never.join(', ')}.` : ''}${this.range.key}` });
    this.home.replaceChildren(element('div', { className: 'bar-list' }, [axis, ...bars, key, ...this.#within(), ...this.#met(broke, told.limits)]), tale);
    this.belongs.of(this.page.store.state);
  }

  // Values that are known only within a range: the bars are those of their middles.
  #within() {
    const { scene, told } = this.page;
    const of = Object.entries(scene.head.ranges ?? {}).map(([key, range]) => {
      const p = told.parameters.find((q) => key === q.key || key.startsWith(`${q.key}[`));
      return p ? `${p.label.toLowerCase()}${key.slice(p.key.length)} ${range} ${unitWords(p.unit)}`.trim() : '';
    }).filter(Boolean);
    return of.length ? [element('p', { className: 'key', id: 'known-within', data: { test: 'known-within' }, textContent: `${of.join(', ').replace(/^./, (c) => c.toUpperCase())}: known within that. The bars are those of the middle.` })] : [];
  }

  // A pull that happened, as long as the connector is the one that was pulled.
  #broke() {
    const { pulled, store } = this.page;
    return pulled && sameModel(pulled.model, store.state.model) ? pulled : null;
  }

  // Whether the forecast meets it, in words, and the way to forget it.
  #met(broke, { peak_kn }) {
    if (!broke) return [];
    const away = broke.kn - peak_kn;
    const beside = Math.abs(away) < 0.05 * peak_kn ? 'meets' : `${kilonewtons(Math.abs(away))} ${away < 0 ? 'above' : 'below'}`;
    const words = beside === 'meets'
      ? `the forecast here, ${kilonewtons(peak_kn)}, meets it.`
      : `the forecast here, ${kilonewtons(peak_kn)}, lies ${beside}.`;
    const forget = element('button', { type: 'button', className: 'quiet', textContent: 'Forget the pull', data: { test: 'forget-pull' } });
    forget.addEventListener('click', () => {
      this.page.pulled = null;
      this.show();
    });
    return [element('p', { className: 'key', id: 'broke-words', data: { test: 'broke-words' } }, [`The double line is where it broke, ${kilonewtons(broke.kn)}: ${words} `, forget])];
  }

  // Kilonewtons above the bars, with the present pull among them, and above it the one that happened.
  #axis(longest, load, place, broke) {
    const track = element('span', { className: 'track' });
    const put = (tag, kn, words = '', className = '') => {
      const made = element(tag, { textContent: words, className });
      made.style.left = place(kn);
      track.append(made);
    };
    const step = roundUp(longest / 7);
    for (let i = 0; i * step <= longest * (1 + 1e-9); i++) put('i', i * step, String(Number((i * step).toFixed(6))));
    put('b', load, `pull ${kilonewtons(load)}`);
    put('span', load, '', 'pull-mark');
    if (broke) {
      put('b', broke.kn, `broke at ${kilonewtons(broke.kn)}`, 'broke');
      put('span', broke.kn, '', 'broke-mark');
    }
    track.prepend(...this.range.marks(place));
    return track;
  }
}

/** A pull that happened: its peak, its place, and what this says beside the forecast. */
export class Explain {
  constructor(form, home, page) {
    Object.assign(this, { form, home, page });
    this.peak = element('input', { type: 'text', inputMode: 'decimal', autocomplete: 'off', id: 'broke-at', required: true, data: { test: 'broke-at' } });
    this.where = element('select', { id: 'broke-where', data: { test: 'broke-where' } });
    form.append(
      element('label', {}, ['It broke at ', this.peak, ' kN']),
      element('label', {}, [' at the ', this.where]),
      element('button', { type: 'submit', className: 'strong', textContent: 'Explain it' }),
    );
    form.addEventListener('submit', (e) => {
      e.preventDefault();
      this.#go(this.peak.value.trim(), this.where.value);
    });
    const again = element('button', { type: 'button', textContent: 'Ask again for this one', data: { test: 'explain-again' } });
    again.addEventListener('click', () => this.#go(...this.asked));
    this.belongs = new Belongs([home], page, { again });
    page.listeners.push(() => this.#places());
    this.takeOver = new TakeOver(page);
    // An explanation stays beside a cause of it that was taken over.
    page.agings.push(() => this.explained && this.belongs.of(this.takeOver.on ? page.store.state : this.explained));
  }

  #places() {
    const all = ['', ...(this.page.told?.places ?? [])];
    if (all.join() === [...this.where.options].map((o) => o.value).join()) return;
    const now = this.where.value;
    this.where.replaceChildren(...all.map((w) => new Option(w || 'not known', w)));
    if (all.includes(now)) this.where.value = now;
  }

  async #go(typed, where) {
    const { state } = this.page.store;
    this.asked = [typed, where];
    this.explained = state;
    // What is no plain number is read by the program: 17,2 or 3800 lbf.
    const peak = Number(typed);
    const plain = Number.isFinite(peak);
    this.peak.removeAttribute('aria-invalid');
    const told = this.page.limitsNow?.limits;
    const words = [`Asked for: it broke at ${plain ? kilonewtons(peak) : typed}, ${where ? `at the ${where}` : 'the place not known'}.`];
    if (told?.peak_kn && plain) {
      const d = peak - told.peak_kn;
      const beside = Math.abs(d) < 0.05 * told.peak_kn ? 'about there' : `${kilonewtons(Math.abs(d))} ${d < 0 ? 'below' : 'above'} that`;
      words.push(`As it stands here the connector is expected to break at ${kilonewtons(told.peak_kn)} (first to fail: ${told.fails_first}); yours broke ${beside}.`);
    }
    const waiting = element('p', { textContent: 'Weighing what may differ from what was entered…' });
    this.home.replaceChildren(...words.map((w) => element('p', { textContent: w })), waiting);
    this.belongs.of(state);
    try {
      const answer = await followed('explain', { state, broke_at_kn: plain ? peak : typed, where }, waiting);
      if (!answer) {
        waiting.textContent = 'Cancelled.';
        return;
      }
      this.page.pulled = { kn: answer.broke_at_kn, model: state.model };
      this.page.forecast.show();
      this.takeOver.begin(state);
      const rows = answer.causes.map((c) => {
        const bar = element('span', { className: 'bar' });
        bar.style.width = `${100 * c.likelihood}%`;
        const more = `${c.likely ? `${c.likely}; ` : ''}peak ${kilonewtons(c.peak_kn)}, first to fail: ${c.fails_first}${c.misses ? `; ${c.misses}` : ''}`;
        return element('li', {}, [
          element('b', { textContent: likelihood(c.likelihood) }),
          element('span', { className: 'track', 'aria-hidden': 'true' }, [bar]),
          element('span', {}, [element('strong', { textContent: c.cause }), ' ', element('small', { textContent: more }), ...this.takeOver.button(c)]),
        ]);
      });
      const part = (title, children) => (children.length ? [element('h3', { textContent: title }), ...children] : []);
      waiting.replaceWith(
        element('p', { className: 'answer', textContent: answer.sentence }),
        ...(answer.closest ? this.takeOver.button(answer.closest) : []),
        element('div', { className: 'answer-parts' }, [
          element('div', {}, part('What may differ from what was entered', [element('ol', { className: 'causes' }, rows)])),
          element('div', {}, [
            ...part('Measure next', [element('ul', { className: 'next' }, answer.measure_next.map((w) => element('li', { textContent: w })))]),
            ...part('What the marking asks for', answer.marking.map((m) => element('p', { textContent: m.sentence }))),
          ]),
        ]),
      );
    } catch (error) {
      if (error.mistakes.some((m) => m.key === 'broke_at_kn')) this.peak.setAttribute('aria-invalid', 'true');
      waiting.replaceWith(element('p', { textContent: [error.message, ...error.mistakes.map((m) => mistakeWords(m, this.page.told))].join(' ') }));
    }
    this.home.append(element('p', { className: 'caution-line', textContent: this.page.told.caution }));
  }
}
