// A trace of a load cell, read by the program: its sentence, readings and picture, what was understood of it, and fields for what it leaves open.

import { carry } from './connection.js';
import { element } from './element.js';
import { explain, field, fieldsOf, textField, tooLarge } from './record_fields.js';
import { isNarrow, pictureOf } from './record_picture.js';
import { capital } from './words.js';

const words = (textContent, className = '') => element('p', { textContent, className });
/** What stands before an answer that is on its way is told only once that takes a moment. */
const SOON_MS = 300;

export class TraceDrop {
  #asked = 0;

  constructor(home, page) {
    Object.assign(this, { home, page, file: null, answer: null, changed: () => {} });
    this.input = element('input', { type: 'file', id: 'trace-file', className: 'hidden', tabIndex: -1, 'aria-label': 'A trace of a load cell', data: { test: 'trace-file' } });
    this.input.addEventListener('change', () => {
      const [file] = this.input.files;
      if (file) page.records.dropping.take(file);
      this.input.value = '';
    });
    const choose = element('button', { type: 'button', textContent: 'Choose a trace\u2026', data: { test: 'trace-choose' } });
    choose.addEventListener('click', () => this.input.click());
    this.said = element('p', { role: 'status', className: 'record-said', data: { test: 'trace-said' } });
    this.told = element('div', { id: 'trace-answer', data: { test: 'trace-answer' } });
    home.append(
      element('h3', { textContent: 'Read a trace' }),
      element('div', { className: 'drop-here' }, [words('Drop what the logger of your load cell wrote anywhere on this page. It is read by the program and kept nowhere.'), choose, this.input]),
      this.said, this.told, this.#open(page.told.records),
    );
  }

  // Fields for what a file may leave open, as the options of the command.
  #open({ units }) {
    this.fields = {
      unit: field('Unit', element('select', {}, ['', ...units].map((u) => new Option(u || 'as the file says', u)))),
      rate: field('Samples a second', textField({ inputMode: 'decimal' })),
      decimal: field('Decimal mark', element('select', {}, [['', 'as the file shows'], ['point', 'point'], ['comma', 'comma']].map(([value, name]) => new Option(name, value)))),
      column: field('Column', textField({ placeholder: 'name or number' })),
      part: field('Recording', textField({ inputMode: 'numeric' })),
      counts_per_unit: field('Counts of a unit', textField({ inputMode: 'decimal' })),
      zero_counts: field('Counts without load', textField({ inputMode: 'decimal' })),
    };
    const again = element('button', { type: 'submit', textContent: 'Read it again', data: { test: 'trace-again' } });
    this.form = element('form', { className: 'record-fields', noValidate: true, 'aria-label': 'What the file leaves open' }, [...Object.values(this.fields).map((f) => f.home), again]);
    this.form.addEventListener('submit', (e) => {
      e.preventDefault();
      if (this.file) this.#read(this.file);
    });
    this.open = element('details', { className: 'record-more', hidden: true, data: { test: 'trace-open' } }, [element('summary', { textContent: 'Read it otherwise' }), this.form]);
    return this.open;
  }

  /** Reads a file that was just given, as it tells of itself; `go`: and brings it into sight. */
  async show(file, go = true) {
    for (const { input } of Object.values(this.fields)) input.value = '';
    this.open.open = false;
    await this.#read(file);
    if (go) this.home.scrollIntoView();
  }

  async #read(file) {
    const asked = ++this.#asked;
    explain(this.fields, []);
    const large = tooLarge(file, this.page.told.records.largest_trace);
    if (large) {
      [this.file, this.answer] = [null, null];
      this.told.replaceChildren();
      this.open.hidden = true;
      this.#wrong(large);
      return;
    }
    const slow = setTimeout(() => (this.said.textContent = `Reading ${file.name}\u2026`), SOON_MS);
    try {
      const answer = await carry('trace', { name: file.name, asked: fieldsOf(this.fields), phone: isNarrow() }, file);
      if (!answer || asked !== this.#asked) return;
      [this.file, this.answer] = [file, answer];
      this.#tell();
    } catch (error) {
      if (!error.mistakes) throw error;
      if (asked !== this.#asked) return;
      [this.file, this.answer] = [file, null];
      this.told.replaceChildren();
      const left = explain(this.fields, error.mistakes);
      const lines = left.map((m) => [m.place && `${capital(m.place)}: `, capital(m.says.replace(/^line \d+: /, ''))].join(''));
      this.#wrong(lines.length ? `${file.name}: ${lines.join(' ')}.` : error.mistakes.length ? `${file.name}: something is left open; see the fields below.` : `${file.name}: ${error.message}`);
      this.open.hidden = false;
      this.open.open = left.length < error.mistakes.length;
    } finally {
      clearTimeout(slow);
      this.changed();
    }
  }

  #wrong(why) {
    this.said.textContent = why;
    this.said.classList.add('wrong');
  }

  #tell() {
    const { trace, rows, understood, agreement, svg, caution } = this.answer;
    const [file] = trace.files;
    const several = file.cells.length > 1;
    this.said.textContent = '';
    this.said.classList.remove('wrong');
    this.open.hidden = false;
    const cells = file.cells.flatMap((cell, i) => [
      words(several ? `Column ${cell.column}: ${cell.sentence}` : cell.sentence, 'answer'),
      ...(cell.at_least.length + cell.remarks.length ? [element('ul', { className: 'warnings' }, [...cell.at_least, ...cell.remarks].map((textContent) => element('li', { textContent })))] : []),
      element('div', { className: 'rows' }, [element('table', { 'aria-label': `Readings of column ${cell.column}`, data: { test: 'trace-rows' } }, [element('tbody', {}, rows[i].map(({ what, value, more }) => element('tr', {}, [element('th', { scope: 'row', textContent: what }), element('td', { textContent: value }), element('td', { textContent: more })])))])]),
    ]);
    const peaks = file.peaks.length ? [
      words(`The file holds ${file.peaks.length} peaks and no curve.`, 'answer'),
      element('div', { className: 'rows' }, [element('table', { 'aria-label': 'Peaks' }, [element('tbody', {}, file.peaks.map((p) => element('tr', {}, [element('th', { scope: 'row', textContent: p.name }), element('td', { textContent: `${p.peak_kn.toFixed(2)} kN` }), element('td', { textContent: `line ${p.line}, in ${p.unit}` })])))])]),
    ] : [];
    const known = understood.length ? [element('details', { className: 'record-more', data: { test: 'trace-understood' } }, [element('summary', { textContent: 'What was understood of the file' }), element('ul', {}, understood.map((textContent) => element('li', { textContent })))])] : [];
    this.told.replaceChildren(element('div', { className: 'record-pair' }, [
      element('div', {}, [element('h4', { textContent: file.file }), ...cells, ...peaks, ...(agreement ? [words(agreement)] : []), ...known]),
      ...(svg ? [pictureOf(svg)] : []),
    ]), words(caution, 'caution-line'));
    this.page.say(file.cells[0]?.sentence ?? peaks[0]?.textContent ?? '');
  }
}
