// One pull, opened under its row: what the command log show tells; its model on the bench; and where it is planned, its result.

import { ask } from './connection.js';
import { element } from './element.js';
import { ResultForm } from './record_result.js';
import { mistakeWords } from './words.js';

const words = (textContent, className = '') => element('p', { textContent, className });

export class OpenedPull {
  /** `closed()` hears that it is to be closed, `recorded(line)` of its result; `columns` of the table that it stands in. */
  constructor(number, page, { closed, recorded, columns }) {
    Object.assign(this, { number, page, closed, recorded });
    this.told = element('div', { className: 'opened-pull', 'aria-busy': 'true' }, [words('Looking it up\u2026')]);
    this.home = element('tr', { className: 'opened', data: { opened: number } }, [element('td', { colSpan: columns }, [this.told])]);
  }

  /** Asks for it; `says`: what was just recorded of it. */
  async load(says = []) {
    try {
      const answer = await ask('log/show', { number: this.number });
      if (answer) this.#tell(answer, says);
    } catch (error) {
      if (!error.mistakes) throw error;
      this.told.replaceChildren(words([`${error.message}.`, ...error.mistakes.map((m) => mistakeWords(m, this.page.told))].join(' '), 'record-said wrong'), this.#close());
    }
    this.told.removeAttribute('aria-busy');
  }

  #close() {
    const close = element('button', { type: 'button', className: 'quiet', textContent: 'Close', data: { test: 'record-close' } });
    close.addEventListener('click', () => this.closed());
    return close;
  }

  #tell({ told, state, file, pull, caution }, says) {
    const list = (all, className = '') => (all.length ? [element('ul', { className }, all.map((textContent) => element('li', { textContent })))] : []);
    const buttons = [];
    if (state) {
      const see = element('button', { type: 'button', textContent: 'Show this state', data: { test: 'pull-show-state' } });
      see.addEventListener('click', () => this.#showState(state, file));
      buttons.push(see);
    }
    const values = element('table', { 'aria-label': `Values of pull ${this.number}` }, [element('tbody', {}, told.values.map(({ name, value, amended }) => element('tr', {}, [element('th', { scope: 'row', textContent: name }), element('td', { textContent: amended ? `${value} (corrected)` : value })])))]);
    this.told.replaceChildren(
      element('h4', { textContent: told.title, tabIndex: -1 }),
      ...(says.length ? [element('div', { className: 'record-said', role: 'status', data: { test: 'result-said' } }, says.map((one) => words(one)))] : []),
      element('div', { className: 'record-pair' }, [
        element('div', { className: 'pull-sentences' }, [
          ...(told.beside && !says.includes(told.beside) ? [words(told.beside, 'answer')] : []),
          ...told.recorded.map((one) => words(one)),
          ...(told.forecast ?? []).map((one) => words(one)),
          ...list(told.notes, 'warnings'),
          ...(told.amendments.length ? [words('Corrected:'), ...list(told.amendments)] : []),
          ...this.#result(pull),
          element('p', { className: 'record-buttons' }, [...buttons, this.#close()]),
        ]),
        element('div', { className: 'rows' }, [values]),
      ]),
      words(caution, 'caution-line'),
    );
  }

  #result(pull) {
    if (pull.result || pull.withdrawn || !this.page.told.records.writes) return [];
    const form = new ResultForm({ number: this.number, uid: pull.uid }, this.page, async (answer) => {
      await this.load(answer.says);
      this.recorded(answer.line);
      this.told.querySelector('h4').focus();
    });
    return [form.home];
  }

  #showState(state, file) {
    const { page } = this;
    if (typeof state.model !== 'string') page.names.opened(file ?? '', state.model);
    page.store.replace(state);
    page.notice.say(`The connector of pull ${this.number}, as it was planned, is on the bench.`, true);
    document.getElementById('bench').scrollIntoView();
  }
}
