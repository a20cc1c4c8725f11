// The result of a planned pull: what the command log add NUMBER does, with the trace that the load cell wrote.

import { carry } from './connection.js';
import { kindOf } from './dropping.js';
import { element } from './element.js';
import { explain, field, fieldsOf, textField, tooLarge } from './record_fields.js';
import { mistakeWords } from './words.js';

export class ResultForm {
  /** `done(answer)` hears what was recorded. */
  constructor({ number, uid }, page, done) {
    Object.assign(this, { number, uid, page, done, file: null });
    const { outcomes } = page.told.records;
    const choice = (all) => element('select', {}, ['', ...all].map((one) => new Option(one || 'not told', one)));
    this.fields = {
      peak: field('Peak', textField({ inputMode: 'decimal', placeholder: '21.3 or 5400 lbf' }), 'kN, or with its unit'),
      outcome: field('Outcome', choice(outcomes)),
      place: field('Where', choice(page.told.places)),
      pulled_on: field('Day', textField({ placeholder: 'now' }), '2026-05-03'),
      remark: field('Remark', textField()),
    };
    this.fields.remark.home.classList.add('wide');
    this.input = element('input', { type: 'file', className: 'hidden', tabIndex: -1, 'aria-label': 'Trace of this pull', data: { test: 'result-trace' } });
    this.input.addEventListener('change', () => {
      const [file] = this.input.files;
      if (file) this.attach(file);
      this.input.value = '';
    });
    const button = (textContent, press, test) => {
      const made = element('button', { type: 'button', textContent, data: { test } });
      made.addEventListener('click', press);
      return made;
    };
    this.choose = button('Choose a trace\u2026', () => this.input.click(), 'result-choose');
    this.use = button('', () => this.attach(page.records.trace.file), 'result-use');
    this.leave = button('Without a trace', () => this.attach(null), 'result-leave');
    this.named = element('p', { role: 'status', className: 'result-trace', data: { test: 'result-traced' } });
    this.submit = element('button', { type: 'submit', className: 'strong', textContent: 'Record the result', data: { test: 'result-record' } });
    this.said = element('p', { role: 'status', className: 'record-said', data: { test: 'result-wrong' } });
    this.home = element('form', { className: 'result-form', noValidate: true, 'aria-label': `Result of pull ${number}`, data: { test: 'result-form' } }, [
      element('h5', { textContent: 'Its result' }),
      element('div', { className: 'record-fields' }, Object.values(this.fields).map((f) => f.home)),
      this.named,
      element('p', { className: 'record-buttons' }, [this.submit, this.choose, this.use, this.leave, this.input]), this.said,
    ]);
    this.home.addEventListener('submit', (e) => {
      e.preventDefault();
      this.#go();
    });
    // A file that is dropped on the form is its trace.
    this.home.addEventListener('drop', (e) => {
      const [file] = e.dataTransfer?.files ?? [];
      if (!file) return;
      e.preventDefault();
      document.body.classList.remove('dropping');
      this.attach(file);
    });
    page.records.trace.changed = () => this.#offer();
    this.#offer();
  }

  // What was read above may be the trace of this pull.
  #offer() {
    const { file, answer } = this.page.records.trace;
    this.use.hidden = !file || !answer || file === this.file;
    this.use.textContent = file ? `Use ${file.name}, read above` : '';
    this.leave.hidden = !this.file;
    this.choose.hidden = Boolean(this.file);
    if (!this.file) this.named.textContent = '';
  }

  /** Takes a file as the trace of this pull, and tells the peak that it gives. */
  async attach(file) {
    const kind = file ? await kindOf(file).catch(() => '') : 'trace';
    const refused = kind === 'trace' ? (file && tooLarge(file, this.page.told.records.largest_kept)) : `${file.name} is no trace of a load cell: it is not kept.`;
    if (refused) {
      this.named.textContent = refused;
      return;
    }
    this.file = file;
    const { trace } = this.page.records;
    if (file && trace.file !== file) await trace.show(file, false);
    if (this.file !== file) return;
    this.#offer();
    if (!file) return;
    // Another file may have been read in between.
    const { peak, no_peak: why } = (trace.file === file && trace.answer) || {};
    this.named.textContent = `Trace: ${file.name}. ${peak ? `Where no peak is entered it is that of the trace: ${peak}.` : why ?? 'It gives no reading; see above. Enter the highest load of the pull: the file is kept all the same.'}`;
  }

  async #go() {
    explain(this.fields, []);
    this.said.textContent = '';
    this.said.classList.remove('wrong');
    this.submit.disabled = true;
    try {
      // What is recorded of one pull does not overtake what is recorded of another.
      const answer = await carry('log/add', { number: this.number, uid: this.uid, fields: fieldsOf(this.fields), trace: this.file?.name ?? null }, this.file, `log/add/${this.number}`);
      if (answer) await this.done(answer);
      else this.said.textContent = 'Whether it was recorded is not known: look at the pull again.';
    } catch (error) {
      if (!error.mistakes) throw error;
      const left = explain(this.fields, error.mistakes).map((m) => mistakeWords(m, this.page.told));
      this.said.textContent = left.join(' ') || (error.mistakes.length ? '' : `${error.message}.`);
      this.said.classList.toggle('wrong', Boolean(this.said.textContent));
    } finally {
      this.submit.disabled = false;
    }
  }
}
