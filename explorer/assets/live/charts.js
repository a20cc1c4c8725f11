// What if: share and forecast over a range of any measure, drawn by the program in the background. A click goes there.

import { Belongs } from './belongs.js';
import { element } from './element.js';
import { followed } from './following.js';
import { QUICK, atStep, countOf, measureGroups, narrower, rangeOf, refusedStretches } from './measures.js';
import { whenSeen } from './seen.js';
import { mistakeWords, named, unitWords } from './words.js';

/** Size of the letters on a chart, pixels of the size that is asked for. */
const LETTERS = 11;
/** A chart takes many solves: it waits until the hand has rested for some time. */
const PATIENCE_MS = 350;
/** About so many values are solved, the same ones for both charts: what does not fit ends at the same place in both. */
const COUNT = 13;
const MEANWHILE = 'being drawn again';
const plain = (x) => String(Number(x.toFixed(4))).replace('-', '\u2212');

export class Charts {
  #asked = '';
  #listed = '';
  #off = new AbortController();

  constructor(home, page) {
    Object.assign(this, { home, page, key: QUICK[0].key });
    this.pick = element('fieldset', { className: 'segments', id: 'chart-measure', data: { test: 'chart-measure' } }, [element('legend', { className: 'hidden', textContent: 'Measure' })]);
    for (const { key, words } of QUICK) {
      const input = element('input', { type: 'radio', name: 'measure', value: key });
      this.pick.append(element('label', {}, [input, element('span', { textContent: words })]));
    }
    this.all = element('select', { id: 'chart-key', data: { test: 'chart-key' } });
    for (const choice of [this.pick, this.all]) choice.addEventListener('change', (e) => this.#choose(e.target.value));
    this.charts = ['share', 'forecast'].map((what) => {
      const picture = element('div', { className: 'chart', id: `chart-${what}`, data: { test: `chart-${what}` } });
      const rows = element('details', { className: 'rows', hidden: true });
      const flat = element('p', { className: 'flat', hidden: true, data: { test: `flat-${what}` } });
      return { what, picture, flat, rows, box: element('figure', { className: 'chart-box' }, [picture, flat, rows]) };
    });
    this.under = element('div', { className: 'charts-under-way', data: { test: 'charts-under-way' } });
    this.refused = element('ul', { className: 'refused', id: 'chart-refused', data: { test: 'chart-refused' } });
    this.caution = element('p', { className: 'caution-line', textContent: page.told.caution });
    home.append(
      element('div', { className: 'measure' }, [this.pick, element('label', {}, ['Over ', this.all]), this.under]),
      element('div', { className: 'chart-pair' }, this.charts.map((c) => c.box)), this.refused, this.caution,
    );
    for (const chart of this.charts) chart.belongs = new Belongs(chart === this.charts[0] ? [chart.picture, chart.flat, chart.rows, this.refused] : [chart.picture, chart.flat, chart.rows], page, { meanwhile: MEANWHILE });
    page.agings.push(() => this.#able());
    const go = whenSeen(home, () => this.#go());
    page.listeners.push(() => {
      clearTimeout(this.later);
      this.later = setTimeout(go, PATIENCE_MS);
    });
    go();
  }

  #choose(key) {
    this.key = key;
    this.#go();
  }

  // The measures that have a meaning now; the one that is shown, or the first one where it lost its meaning.
  #list() {
    const groups = measureGroups(this.page.told, (key) => this.page.controls.chosen(key));
    const measures = groups.flatMap((g) => g.measures);
    const measure = measures.find((m) => m.key === this.key) ?? measures.find((m) => m.key === QUICK[0].key) ?? measures[0];
    this.key = measure.key;
    const listed = measures.map((m) => m.key).join();
    if (listed !== this.#listed) {
      this.#listed = listed;
      this.all.replaceChildren(...groups.map((g) => element('optgroup', { label: g.title }, g.measures.map((m) => new Option(m.label, m.key)))));
    }
    this.all.value = this.key;
    for (const input of this.pick.elements) {
      if (input.type !== 'radio') continue;
      input.checked = input.value === this.key;
      input.parentElement.hidden = !measures.some((m) => m.key === input.value);
    }
    return measure;
  }

  async #go() {
    const { scene, store, stage } = this.page;
    // The range is that of the connector that is shown: once it is the one that is set, the page tells.
    if (!scene || scene.state !== store.state) return;
    const measure = this.#list();
    const dark = stage.look.paper !== '#f6f0e4';
    // The program sets its letters for a page of this width; asked for smaller and shown larger they are as large as the page's.
    const shown = this.charts[0].picture.clientWidth || 560;
    const width = Math.round(Math.max(300, Math.min(760, (shown * LETTERS) / (0.82 * stage.rem))));
    const size = [width, Math.round(Math.max(260, 0.56 * width))];
    const question = JSON.stringify([store.state, this.key, dark, width]);
    if (question === this.#asked) return;
    this.#asked = question;
    // What is still being drawn of the question before is wanted no longer.
    this.#off.abort();
    const off = (this.#off = new AbortController());
    this.#wanted(MEANWHILE);
    const [share, forecast] = this.charts;
    const { state } = store;
    let range = rangeOf(measure, scene.head);
    const about = (chart) => ({ state, key: measure.key, from: range[0], to: range[1], n: countOf(measure, range, COUNT), what: chart.what, dark, size });
    // Called off it stays so until it is wanted again, or something else is.
    const cancelled = () => this.#cancelled(question);
    const drawn = (chart) => followed('chart', about(chart), this.under, { kind: `chart${chart.what}`, cancelled, off });
    this.under.replaceChildren();
    try {
      let answer = await drawn(share);
      const less = answer && narrower(measure, answer);
      if (less) {
        range = less;
        answer = await drawn(share);
      }
      if (!answer || question !== this.#asked) return;
      this.#put(share, answer, measure, size, state);
      this.#refusals(answer, measure);
      answer = await drawn(forecast);
      if (!answer || question !== this.#asked) return;
      this.#put(forecast, answer, measure, size, state);
    } catch (error) {
      if (question !== this.#asked) return;
      // What another moment may bring is asked for again.
      if (error.status !== 422) this.#asked = '';
      const words = [error.message, ...(error.mistakes ?? []).map((m) => mistakeWords(m, this.page.told))].join(' ');
      for (const chart of this.charts) {
        chart.picture.replaceChildren(element('p', { textContent: words }));
        chart.picture.onclick = null;
        chart.flat.hidden = true;
        chart.rows.replaceChildren();
        chart.rows.hidden = true;
        chart.belongs.of(state, measure.key);
      }
      this.refused.replaceChildren();
    }
  }

  // The measure that is wanted now, and what is being done about it.
  #wanted(meanwhile) {
    for (const { belongs } of this.charts) {
      belongs.meanwhile = meanwhile;
      belongs.drawn(this.key);
    }
    this.#able();
  }

  #cancelled(question) {
    if (question !== this.#asked) return;
    this.#wanted('');
    const again = element('button', { type: 'button', textContent: 'Draw the charts', data: { test: 'charts-again' } });
    again.addEventListener('click', () => {
      this.#asked = '';
      this.#go();
    });
    this.under.replaceChildren('Cancelled. ', again);
  }

  // What is of another measure or another state is no way to go anywhere.
  #able() {
    for (const { picture, rows, belongs } of this.charts) {
      picture.classList.toggle('unclickable', belongs.another);
      for (const button of rows.querySelectorAll('button')) button.disabled = belongs.another || button.dataset.fits === 'no';
    }
  }

  #put(chart, answer, measure, size, state) {
    const svg = document.importNode(new DOMParser().parseFromString(answer.svg, 'image/svg+xml').documentElement, true);
    svg.setAttribute('width', '100%');
    svg.removeAttribute('height');
    if (!svg.hasAttribute('viewBox')) svg.setAttribute('viewBox', `0 0 ${size.join(' ')}`);
    chart.picture.replaceChildren(svg);
    chart.flat.textContent = answer.flat ?? '';
    chart.flat.hidden = !answer.flat;
    chart.belongs.of(state, measure.key);
    const { plot } = answer;
    chart.picture.onclick = (e) => {
      if (chart.belongs.another) return;
      const box = svg.getBoundingClientRect();
      const x = ((e.clientX - box.left) / box.width) * size[0];
      const value = plot.from + ((x - plot.left) / (plot.right - plot.left)) * (plot.to - plot.from);
      this.#set(measure, atStep(measure, Math.min(plot.to, Math.max(plot.from, value))));
    };
    const unit = answer.unit ? ` ${unitWords(answer.unit)}` : '';
    const share = chart.what === 'share';
    const head = element('tr', {}, [measure.label, share ? 'gate carries' : 'first to fail', share ? 'highest stress' : 'highest load'].map((t) => element('th', { scope: 'col', textContent: t })));
    const body = answer.rows.map((row) => {
      const go = element('button', { type: 'button', className: 'quiet', textContent: `${plain(row.value)}${unit}`, title: 'Go there', disabled: Boolean(row.mistake), data: { fits: row.mistake ? 'no' : 'yes' } });
      go.addEventListener('click', () => this.#set(measure, row.value));
      const cells = row.mistake
        ? [this.#why(row.mistakes, measure), '']
        : share
          ? [row.gate_fraction === null ? '' : `${Math.round(100 * row.gate_fraction)} %`, row.peak_mpa ? `${Math.round(row.peak_mpa)} MPa` : '']
          : [row.fails_first ? `${row.fails_first}, ${row.fails_at_kn?.toFixed(1)} kN` : '', row.peak_kn ? `${row.peak_kn.toFixed(1)} kN` : ''];
      return element('tr', {}, [element('th', { scope: 'row' }, [go]), ...cells.map((t) => element('td', { textContent: t }))]);
    });
    chart.rows.hidden = false;
    chart.rows.replaceChildren(element('summary', { textContent: 'The numbers' }), element('table', {}, [element('thead', {}, [head]), element('tbody', {}, body)]), ...(share ? [element('p', { textContent: 'The highest stress is that away from notch, hinge hole, contacts and sharp corners.' })] : []));
    this.#able();
  }

  // What does not fit, and why.
  #refusals({ rows, unit }, measure) {
    const of = unit ? ` ${unitWords(unit)}` : '';
    this.refused.replaceChildren(...refusedStretches(rows).map(({ from, to, mistakes, still }) => {
      const range = from === to ? `At ${plain(from)}${of}` : `From ${plain(from)} to ${plain(to)}${of}`;
      // Somewhere between it ceases to: the ground of the charts ends half way.
      const fits = still.length ? `; ${still.map((value) => `${plain(value)}${of}`).join(' and ')} still ${still.length > 1 ? 'do' : 'does'}` : '';
      return element('li', {}, [element('b', { textContent: `${range} it does not fit${fits}. ` }), this.#why(mistakes, measure)]);
    }));
  }

  // The first reason, with its measure where that is another one, and how many more there are.
  #why(mistakes, { keys }) {
    const [first] = mistakes;
    const words = mistakeWords(first, this.page.told);
    const other = first.key && !keys.includes(first.key) ? `${named(first.key, this.page.told)}: ` : '';
    // Both ends of a rig say the same.
    const more = new Set(mistakes.map((m) => m.says)).size - 1;
    return `${other}${words}${more > 0 ? ` And ${more} more.` : ''}`;
  }

  #set({ keys }, value) {
    this.page.store.change(Object.fromEntries(keys.map((key) => [key, value])));
  }
}
