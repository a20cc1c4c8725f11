// The forecast of the state that the page shows, recorded before its pull: what the command log plan does.

import { element } from './element.js';
import { followed } from './following.js';
import { explain, field, fieldsOf, textField } from './record_fields.js';
import { mistakeWords } from './words.js';

/** What a pull is known by in every logbook. */
const known = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, '0')).join('');
const words = (textContent, className = '') => element('p', { textContent, className });

export class RecordForecast {
  constructor(home, page) {
    Object.assign(this, { home, page });
    const { reads, writes, file } = page.told.records;
    home.append(element('h3', { textContent: 'Record this forecast' }));
    if (!writes) {
      home.append(words(`This page is open to other machines: nothing is recorded through it. ${reads ? '' : 'Records are not shown either, unless their logbook is named: pullmap explore --address A --logbook FILE. '}A trace can be read all the same.`));
      return;
    }
    this.fields = {
      sample: field('Sample', textField({ required: true })),
      kind: field('Kind', textField(), 'not needed'),
      marked_closed_kn: field('Marked, gate closed', textField({ inputMode: 'decimal', placeholder: 'as the model' }), 'kN'),
    };
    this.button = element('button', { type: 'submit', className: 'strong', textContent: 'Record this forecast', data: { test: 'plan' } });
    this.form = element('form', { className: 'record-fields', noValidate: true, 'aria-label': 'The sample', data: { test: 'plan-form' } }, [...Object.values(this.fields).map((f) => f.home), this.button]);
    this.form.addEventListener('submit', (e) => {
      e.preventDefault();
      this.#go();
    });
    this.said = element('div', { className: 'record-said', 'aria-live': 'polite', data: { test: 'plan-said' } });
    home.append(words(`The forecast of the connector and rig that this page shows goes into ${file}, before the pull. Once there is a result it cannot be changed.`), this.form, this.said);
  }

  async #go() {
    const { page } = this;
    const { state } = page.store;
    explain(this.fields, []);
    this.button.disabled = true;
    const waiting = words('');
    this.#say([waiting], false);
    const { file: logbook } = page.told.records;
    const asked = { logbook, state, file: typeof state.model === 'string' ? '' : page.names.file(state.model), fields: fieldsOf(this.fields) };
    try {
      // What got no answer is asked for again by what it is to be known by: it is recorded once.
      const content = JSON.stringify(asked);
      if (this.sent?.content !== content) this.sent = { content, uid: known() };
      const answer = await followed('log/plan', { ...asked, uid: this.sent.uid }, waiting);
      if (!answer) {
        // It may have been on the disk already: the list tells.
        this.#say([words('Called off. The list above tells whether it was recorded by then.')], false);
        return;
      }
      this.sent = null;
      const see = element('button', { type: 'button', textContent: `See pull ${answer.number}`, data: { test: 'plan-see' } });
      see.addEventListener('click', () => page.records.pulls.open(answer.number, true));
      this.#say([...answer.says.map((says) => words(says)), see, words(answer.caution, 'caution-line')], false);
      this.fields.sample.input.value = '';
    } catch (error) {
      if (!error.mistakes) throw error;
      const left = explain(this.fields, error.mistakes).map((m) => mistakeWords(m, page.told));
      this.#say(left.length || !error.mistakes.length ? [words(left.length ? left.join(' ') : `${error.message.replace(/[.?]$/, '')}. ${error.status >= 400 && error.status < 500 ? '' : 'Whether it was recorded is not known; pressed again it is recorded once.'}`)] : [], true);
    } finally {
      this.button.disabled = false;
      page.records.pulls.refresh();
    }
  }

  #say(children, wrong) {
    this.said.replaceChildren(...children);
    this.said.classList.toggle('wrong', wrong);
  }
}
