// The logbook: its pulls as they are now, the newest first, each to be opened.

import { ask } from './connection.js';
import { element } from './element.js';
import { explain, field, fieldsOf, textField } from './record_fields.js';
import { OpenedPull } from './record_pull.js';
import { whenSeen } from './seen.js';
import { mistakeWords } from './words.js';

const words = (textContent, className = '') => element('p', { textContent, className });
/** A name is asked for when nobody has typed for so long. */
const TYPED_MS = 250;
const HEADS = ['Pull', 'Sample', 'Day', 'Peak', 'Outcome', 'Where', 'Forecast, 5 to 95 of 100', 'Marked'];

export class RecordPulls {
  #asked = 0;
  #typing = 0;

  constructor(home, page) {
    Object.assign(this, { home, page, lines: [], count: 0, least: 0, opened: null });
    const { file, reads } = page.told.records;
    if (!reads) return;
    this.filter = {
      sample: field('Sample', textField({ placeholder: 'SB-*' })),
      kind: field('Kind', textField({ placeholder: 'broad*' })),
    };
    this.withdrawn = element('input', { type: 'checkbox' });
    const tick = element('label', { className: 'tick' }, [this.withdrawn, element('span', { textContent: 'withdrawn ones too' })]);
    const again = element('button', { type: 'submit', textContent: 'Look again', data: { test: 'pulls-again' } });
    const form = element('form', { className: 'record-fields', noValidate: true, role: 'search', 'aria-label': 'Which pulls' }, [...Object.values(this.filter).map((f) => f.home), again, tick]);
    form.addEventListener('submit', (e) => {
      e.preventDefault();
      this.refresh();
    });
    form.addEventListener('input', () => {
      this.least = 0;
      clearTimeout(this.#typing);
      this.#typing = setTimeout(() => this.refresh(), TYPED_MS);
    });
    this.said = element('p', { role: 'status', className: 'record-said', data: { test: 'pulls-said' } });
    this.body = element('tbody', {});
    this.table = element('table', { className: 'pulls', 'aria-label': 'Pulls', hidden: true }, [
      element('thead', {}, [element('tr', {}, HEADS.map((textContent) => element('th', { scope: 'col', textContent })))]), this.body,
    ]);
    this.more = element('button', { type: 'button', textContent: 'Earlier ones', hidden: true, data: { test: 'pulls-more' } });
    this.more.addEventListener('click', () => {
      this.least = this.lines.length + 50;
      this.refresh();
    });
    this.caution = words('', 'caution-line');
    home.append(element('h3', {}, ['Pulls ', element('small', { textContent: file })]), form, this.said, this.table, this.more, this.caution);
    whenSeen(home, () => this.refresh())();
  }

  /** The filter in sight. */
  get wanted() {
    return this.filter ? fieldsOf(this.filter) : {};
  }

  /** Asks for the pulls once more, for as many as are listed; the one that is open stays open. */
  refresh() {
    return this.filter ? this.#load() : null;
  }

  /** Opens a pull, wherever it stands in the list. */
  async open(number, focus = false) {
    if (!this.lines.some((line) => line.number === number)) {
      for (const { input } of Object.values(this.filter)) input.value = '';
      await this.refresh();
    }
    await this.#toggle(number, true, focus);
  }

  async #load() {
    const asked = ++this.#asked;
    explain(this.filter, []);
    try {
      const answer = await ask('log/list', { filter: this.wanted, withdrawn: this.withdrawn.checked, at_least: this.least });
      if (!answer || asked !== this.#asked) return;
      this.said.classList.remove('wrong');
      if (!answer.there) {
        this.#none(`${answer.says} ${answer.begins}`);
        return;
      }
      if (answer.file !== this.page.told.records.file) {
        this.#none(`The program keeps another logbook now, ${answer.file}: reload the page.`);
        this.said.classList.add('wrong');
        return;
      }
      const known = this.lines.map((line) => JSON.stringify(line)).join();
      this.lines = answer.pulls;
      if (known && known !== this.lines.map((line) => JSON.stringify(line)).join()) this.page.records.lot?.stale();
      this.count = answer.count;
      const counted = answer.count ? answer.sentence : 'No pull in the logbook meets what was asked for.';
      this.said.textContent = [counted, answer.not_listed && `${answer.not_listed}.`, ...answer.left_out].filter(Boolean).join(' ');
      this.caution.textContent = answer.caution;
      this.#show();
    } catch (error) {
      if (!error.mistakes) throw error;
      if (asked !== this.#asked) return;
      const left = explain(this.filter, error.mistakes).map((m) => mistakeWords(m, this.page.told));
      this.#none(left.join(' ') || `${error.message}.`);
      this.said.classList.add('wrong');
    }
  }

  // There is nothing to list, and why.
  #none(why) {
    [this.lines, this.count] = [[], 0];
    this.said.textContent = why;
    this.caution.textContent = '';
    this.#show();
  }

  #show() {
    const { lines } = this;
    this.table.hidden = !lines.length;
    this.more.hidden = lines.length >= this.count;
    this.more.textContent = `Earlier ones (${this.count - lines.length})`;
    // One scale for all that is listed: from somewhat below the least load to somewhat above the highest.
    const loads = lines.filter((line) => line.forecast).flatMap((line) => [...line.forecast.kn, line.peak_kn ?? line.forecast.kn[1]]);
    const [least, most] = [Math.min(...loads), Math.max(...loads)];
    const scale = [least - 0.2 * (most - least) - 0.1, most + 0.2 * (most - least) + 0.1];
    const focused = document.activeElement?.closest?.('[data-pull]')?.dataset.pull;
    const inside = this.opened?.home.contains(document.activeElement) ? document.activeElement : null;
    this.body.replaceChildren(...lines.flatMap((line) => {
      const row = this.#row(line, scale);
      return this.opened?.number === line.number ? [row, this.opened.home] : [row];
    }));
    if (inside) inside.focus({ preventScroll: true });
    else if (focused) this.body.querySelector(`[data-pull="${focused}"] button`)?.focus({ preventScroll: true });
  }

  #row(line, scale) {
    const open = this.opened?.number === line.number;
    const button = element('button', { type: 'button', textContent: String(line.number), 'aria-expanded': open, 'aria-label': `Pull ${line.number}, ${line.sample}` });
    button.addEventListener('click', () => this.#toggle(line.number));
    const cell = (label, children, className = '') => element('td', { className, data: { label } }, children.filter(Boolean));
    return element('tr', { className: line.planned || line.withdrawn !== null ? 'planned' : '', data: { pull: line.number } }, [
      element('th', { scope: 'row' }, [button]),
      cell('sample', [line.sample, line.withdrawn !== null ? ` (withdrawn: ${line.withdrawn})` : line.amended && ' (corrected)'], 'of-sample'),
      cell('day', [line.day]), cell('peak', [line.peak], 'of-peak'), cell('outcome', [line.outcome]), cell('where', [line.place]),
      cell('forecast', line.forecast ? [this.#forecast(line, scale)] : [], 'of-forecast'), cell('marked', [line.marked]),
    ]);
  }

  // The range of the forecast as a bar on a scale that all rows share, its middle, the peak as a point; and in words.
  #forecast({ forecast, peak_kn: peak, beside, within }, [from, to]) {
    const part = (kn) => `${(100 * kn) / (to - from)}%`;
    const at = (kn) => part(kn - from);
    const [low, middle, high] = forecast.kn;
    const mark = (className, left, width = '') => {
      const made = element('i', { className });
      Object.assign(made.style, { left, width });
      return made;
    };
    const marks = [mark('range', at(low), part(high - low)), mark('middle', at(middle)), ...(peak === null ? [] : [mark(within === false ? 'point outside' : 'point', at(peak))])];
    return element('div', {}, [
      element('span', { className: 'range-track', 'aria-hidden': 'true' }, marks),
      element('span', {}, [`${forecast.range}, middle ${forecast.middle}`, ...(beside ? ['; ', element('b', { className: within === false ? 'outside' : '', textContent: beside })] : [])]),
    ]);
  }

  async #toggle(number, stay = false, focus = false) {
    if (this.opened?.number === number && !stay) {
      this.close();
      return;
    }
    const opened = new OpenedPull(number, this.page, { closed: () => this.close(), recorded: (line) => this.#recorded(line), columns: HEADS.length });
    this.opened = opened;
    this.#show();
    await opened.load();
    if (this.opened === opened && focus) opened.home.querySelector('h4')?.focus();
  }

  /** Closes the pull that is open; its row has the focus then. */
  close() {
    const { number } = this.opened ?? {};
    this.opened = null;
    this.#show();
    this.body.querySelector(`[data-pull="${number}"] button`)?.focus({ preventScroll: true });
  }

  #recorded(line) {
    this.lines = this.lines.map((one) => (one.number === line.number ? line : one));
    this.#show();
    this.refresh();
  }
}
