// What pulls allow to be claimed of their lot: the sentences and the picture of the command lot, of the pulls in sight or of peaks typed here.

import { ask } from './connection.js';
import { element } from './element.js';
import { explain, field, fieldsOf, textField } from './record_fields.js';
import { isNarrow, pictureOf } from './record_picture.js';
import { mistakeWords } from './words.js';

const words = (textContent, className = '') => element('p', { textContent, className });

/** Tables and sentences in their order; rows that follow each other, or a head, make one table. */
function blocks(lines) {
  const made = [];
  let body = null;
  for (const { head, row, says } of lines) {
    if (says !== undefined) {
      body = null;
      made.push(words(says));
      continue;
    }
    const { name, cells } = head ?? row;
    if (head || !body || body.of !== cells.length) {
      body = Object.assign(element('tbody', {}), { of: cells.length });
      const table = element('table', { className: cells.length > 1 ? 'even' : '' }, [body]);
      made.push(element('div', { className: 'rows', role: 'group', tabIndex: 0, 'aria-label': name || 'Figures of the lot' }, [table]));
      if (head) {
        const corner = name ? element('th', { scope: 'col', textContent: name }) : element('td', {});
        table.prepend(element('thead', {}, [element('tr', {}, [corner, ...cells.map((textContent) => element('th', { scope: 'col', textContent }))])]));
      }
    }
    if (row) body.append(element('tr', {}, [element('th', { scope: 'row', textContent: name }), ...cells.map((textContent) => element('td', { textContent }))]));
  }
  return made;
}

export class RecordLot {
  #asked = 0;

  constructor(home, page) {
    Object.assign(this, { home, page });
    const { keys, reads } = page.told.records;
    this.fields = {
      values: field('Peaks, kN', textField({ placeholder: reads ? 'those of the pulls above' : '24.1, 23.7, 22.9+' }), '21.5+ ended without a break'),
      marking: field('Marking', textField({ inputMode: 'decimal', placeholder: reads ? 'that of all of them' : '' }), 'kN'),
      by: field('Group by', element('select', {}, ['', ...keys].map((key) => new Option(key ? key.replaceAll('-', ' ') : 'not grouped', key)))),
    };
    this.fields.values.home.classList.add('wide');
    this.fields.by.home.hidden = !reads;
    this.button = element('button', { type: 'submit', textContent: 'What may be claimed?', data: { test: 'ask-lot' } });
    const form = element('form', { className: 'record-fields', noValidate: true, 'aria-label': 'The lot' }, [...Object.values(this.fields).map((f) => f.home), this.button]);
    form.addEventListener('submit', (e) => {
      e.preventDefault();
      this.#go();
    });
    this.said = element('p', { role: 'status', className: 'record-said', data: { test: 'lot-said' } });
    this.told = element('div', { data: { test: 'lot-answer' } });
    home.append(element('h3', { textContent: 'What a few pulls allow to be claimed' }), words(reads ? 'Of the pulls that the list above is narrowed to, or of peaks that are typed here.' : 'Of peaks that are typed here.'), form, this.said, this.told);
  }

  /** The pulls of the list are others than those that the answer is of. */
  stale() {
    if (!this.told.children.length || this.typed) return;
    this.said.textContent = 'The list above has changed since: ask again.';
  }

  async #go() {
    const { page } = this;
    const asked = ++this.#asked;
    const wanted = page.records.pulls.wanted;
    const fields = fieldsOf(this.fields);
    explain(this.fields, []);
    this.button.disabled = true;
    try {
      const answer = await ask('lot', { filter: wanted, phone: isNarrow(), ...fields });
      if (!answer || asked !== this.#asked) return;
      this.said.textContent = '';
      this.said.classList.remove('wrong');
      this.typed = Boolean(fields.values);
      const narrowed = Object.entries(wanted).map(([key, value]) => `${key} ${value}`).join(', ');
      const of = fields.values ? 'typed peaks' : narrowed || 'all pulls of the logbook';
      this.told.replaceChildren(element('div', { className: 'record-pair' }, [
        element('div', { className: 'lot-words' }, [
          element('h4', { textContent: `${answer.title} (${of})` }), words(answer.sentence, 'answer'),
          ...blocks(answer.lines), ...blocks(answer.groups),
          ...(answer.notes.length ? [element('ul', { className: 'warnings' }, answer.notes.map((textContent) => element('li', { textContent })))] : []),
        ]),
        pictureOf(answer.svg),
      ]), words(answer.caution, 'caution-line'));
      page.say(answer.sentence);
    } catch (error) {
      if (!error.mistakes) throw error;
      if (asked !== this.#asked) return;
      this.told.replaceChildren();
      const left = explain(this.fields, error.mistakes).map((m) => mistakeWords(m, page.told));
      this.said.textContent = left.join(' ') || (error.mistakes.length ? '' : `${error.message}.`);
      this.said.classList.toggle('wrong', Boolean(this.said.textContent));
    } finally {
      this.button.disabled = false;
    }
  }
}
