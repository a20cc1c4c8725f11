// What if: share and forecast over a range of one measure, drawn by the program in the background. A click goes there.

import { Belongs } from './belongs.js';
import { ask } from './connection.js';
import { element } from './element.js';
import { whenSeen } from './seen.js';

const MEASURES = [
  { key: 'rig.both.offset_mm', words: 'offset', like: 'rig.upper.offset_mm' },
  { key: 'rig.both.width_mm', words: 'strap width', like: 'rig.upper.width_mm', kind: 'strap' },
  { key: 'rig.both.diameter_mm', words: 'bar diameter', like: 'rig.upper.diameter_mm', kind: 'bar' },
  { key: 'nose.notch_depth_mm', words: 'notch depth', like: 'nose.notch_depth_mm' },
];
/** Size of the letters on a chart, pixels of the size that is asked for. */
const LETTERS = 11;
/** A chart takes many solves: it waits until the hand has rested for some time. */
const PATIENCE_MS = 350;
const round = (x) => Math.round(10 * x) / 10;

export class Charts {
  #asked = '';

  constructor(home, page) {
    Object.assign(this, { home, page, measure: MEASURES[0] });
    this.pick = element('fieldset', { className: 'segments', id: 'chart-measure', data: { test: 'chart-measure' } }, [element('legend', { className: 'hidden', textContent: 'Measure' })]);
    for (const m of MEASURES) {
      const input = element('input', { type: 'radio', name: 'measure', value: m.key, checked: m === this.measure });
      this.pick.append(element('label', {}, [input, element('span', { textContent: m.words })]));
    }
    this.pick.addEventListener('change', (e) => {
      this.measure = MEASURES.find((m) => m.key === e.target.value);
      this.#go();
    });
    this.charts = ['share', 'forecast'].map((what) => {
      const picture = element('div', { className: 'chart', id: `chart-${what}`, data: { test: `chart-${what}` } });
      const rows = element('details', { className: 'rows', hidden: true });
      return { what, picture, rows, box: element('figure', { className: 'chart-box' }, [picture, rows]) };
    });
    home.append(this.pick, element('div', { className: 'chart-pair' }, this.charts.map((c) => c.box)));
    for (const chart of this.charts) chart.belongs = new Belongs([chart.picture, chart.rows], page, { meanwhile: 'being drawn again' });
    const go = whenSeen(home, () => this.#go());
    page.listeners.push(() => {
      clearTimeout(this.later);
      this.later = setTimeout(go, PATIENCE_MS);
    });
    go();
  }

  #range() {
    const { head } = this.page.scene;
    const { key, like } = this.measure;
    const p = this.page.told.parameters.find((q) => q.key === like);
    let [from, to] = [p.slider.min, p.slider.max];
    if (key.endsWith('offset_mm') || key === 'rig.both.width_mm') {
      const ends = ['upper', 'lower'].map((e) => head[e]);
      const low = Math.max(...ends.map((e) => e.room_mm[0]));
      const high = Math.min(...ends.map((e) => e.room_mm[1]));
      if (key.endsWith('offset_mm')) {
        const half = Math.max(...ends.map((e) => (e.kind === 'strap' ? e.width_mm / 2 : 0)));
        [from, to] = [Math.ceil(low + half), Math.floor(high - half)];
      } else to = Math.min(to, Math.floor(2 * Math.min(...ends.map((e) => Math.min(e.offset_mm - low, high - e.offset_mm)))));
    }
    return to > from ? [from, to] : null;
  }

  #go() {
    const { scene, store, stage } = this.page;
    if (!scene) return;
    const kind = scene.head.upper.kind;
    const same = kind === scene.head.lower.kind;
    for (const input of this.pick.elements) {
      const m = MEASURES.find((q) => q.key === input.value);
      if (m) input.parentElement.hidden = Boolean(m.kind) && (m.kind !== kind || !same);
    }
    if (this.measure.kind && (this.measure.kind !== kind || !same)) {
      this.measure = MEASURES[0];
      this.pick.elements[0].checked = true;
    }
    const range = this.#range();
    const dark = stage.look.paper !== '#f6f0e4';
    // The program sets its letters for a page of this width; asked for smaller and shown larger they are as large as the page's.
    const shown = this.charts[0].picture.clientWidth || 560;
    const width = Math.round(Math.max(300, Math.min(760, (shown * LETTERS) / (0.82 * stage.rem))));
    const question = JSON.stringify([store.state, this.measure.key, dark, width]);
    if (!range || question === this.#asked) return;
    this.#asked = question;
    for (const chart of this.charts) this.#ask(chart, range, dark, [width, Math.round(Math.max(260, 0.56 * width))]);
  }

  async #ask(chart, [from, to], dark, size) {
    chart.picture.classList.add('waits');
    const { key, words } = this.measure;
    const { state } = this.page.store;
    const n = chart.what === 'share' ? 17 : 11;
    try {
      const answer = await ask('chart', { state, key, from, to, n, what: chart.what, dark, size }, 'json', `chart${chart.what}`);
      if (!answer) return;
      this.#put(chart, answer, words, size);
    } catch (error) {
      chart.picture.replaceChildren(element('p', { textContent: error.message }));
      chart.rows.replaceChildren();
      chart.rows.hidden = true;
      // What another moment may bring is asked for again.
      if (error.status !== 422) this.#asked = '';
    }
    chart.belongs.of(state);
  }

  #put(chart, answer, words, size) {
    const svg = document.importNode(new DOMParser().parseFromString(answer.svg, 'image/svg+xml').documentElement, true);
    svg.setAttribute('width', '100%');
    svg.removeAttribute('height');
    if (!svg.hasAttribute('viewBox')) svg.setAttribute('viewBox', `0 0 ${size.join(' ')}`);
    chart.picture.replaceChildren(svg);
    const { plot } = answer;
    chart.picture.onclick = (e) => {
      const box = svg.getBoundingClientRect();
      const x = ((e.clientX - box.left) / box.width) * size[0];
      const value = plot.from + ((x - plot.left) / (plot.right - plot.left)) * (plot.to - plot.from);
      this.#set(Math.min(plot.to, Math.max(plot.from, round(value))));
    };
    const share = chart.what === 'share';
    const head = element('tr', {}, [words, share ? 'gate carries' : 'first to fail', share ? 'highest stress away from the notch' : 'highest load'].map((t) => element('th', { scope: 'col', textContent: t })));
    const body = answer.rows.map((row) => {
      const go = element('button', { type: 'button', className: 'quiet', textContent: `${round(row.value)} ${answer.unit}`, title: 'Go there' });
      go.addEventListener('click', () => this.#set(row.value));
      const cells = row.mistake
        ? [row.mistake, '']
        : share
          ? [row.gate_fraction === null ? '' : `${Math.round(100 * row.gate_fraction)} %`, row.peak_mpa ? `${Math.round(row.peak_mpa)} MPa` : '']
          : [row.fails_first ? `${row.fails_first}, ${row.fails_at_kn?.toFixed(1)} kN` : '', row.peak_kn ? `${row.peak_kn.toFixed(1)} kN` : ''];
      return element('tr', {}, [element('th', { scope: 'row' }, [go]), ...cells.map((t) => element('td', { textContent: t }))]);
    });
    chart.rows.hidden = false;
    chart.rows.replaceChildren(element('summary', { textContent: 'The numbers' }), element('table', {}, [element('thead', {}, [head]), element('tbody', {}, body)]));
  }

  #set(value) {
    const { key } = this.measure;
    const keys = key.startsWith('rig.both.') ? ['upper', 'lower'].map((end) => key.replace('both', end)) : [key];
    this.page.store.change(Object.fromEntries(keys.map((k) => [k, round(value)])));
  }
}
