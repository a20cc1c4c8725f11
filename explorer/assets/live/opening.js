// Opening a model file, its text, or a link: chosen or pasted.

import { ask } from './connection.js';
import { element } from './element.js';
import { fromHash } from './link.js';
import { capital, measureWords, mistakeWords } from './words.js';

const LARGEST = 900000;
/** Of the mistakes of a file so many are told at once. */
const MOST_TOLD = 8;
const isLink = (text) => /^(https?:\/\/\S+|#\S+)$/.test(text);

export class Opening {
  constructor(page) {
    this.page = page;
    this.file = element('input', { type: 'file', accept: '.toml,text/plain', className: 'hidden', id: 'open-file', tabIndex: -1, 'aria-label': 'Model file', data: { test: 'open-file' } });
    this.file.addEventListener('change', () => this.file.files[0] && this.open(this.file.files[0]));
    document.getElementById('open').after(this.file);
    this.#dialog();
    document.getElementById('open').addEventListener('click', () => {
      this.text.value = '';
      this.dialog.showModal();
    });
    document.addEventListener('paste', (e) => {
      const text = e.clipboardData?.getData('text/plain') ?? '';
      if (this.dialog.open || e.target.closest?.('input, textarea, select') || !text.trim()) return;
      e.preventDefault();
      this.paste(text);
    });
  }

  #dialog() {
    const choose = element('button', { type: 'button', className: 'strong', textContent: 'Choose a file\u2026', id: 'open-choose', data: { test: 'open-choose' } });
    choose.addEventListener('click', () => {
      this.dialog.close();
      this.file.click();
    });
    this.text = element('textarea', { id: 'open-text', rows: 6, spellcheck: false, data: { test: 'open-text' } });
    const open = element('button', { type: 'submit', className: 'strong', textContent: 'Open', data: { test: 'open-pasted' } });
    const close = element('button', { type: 'button', className: 'quiet', textContent: 'Cancel' });
    close.addEventListener('click', () => this.dialog.close());
    const form = element('form', { method: 'dialog' }, [
      element('h2', { textContent: 'Open a connector', id: 'open-head' }),
      element('p', {}, ['A model file (TOML) from this machine. ', choose]),
      element('label', { htmlFor: 'open-text', textContent: 'Or paste a link that was copied from this page, on whatever machine, or the text of a model file:' }),
      this.text,
      element('p', { className: 'buttons' }, [open, ' ', close]),
    ]);
    form.addEventListener('submit', () => this.paste(this.text.value));
    this.dialog = element('dialog', { className: 'open-dialog', 'aria-labelledby': 'open-head', data: { test: 'open-dialog' } }, [form]);
    document.body.append(this.dialog);
  }

  /** A link or the text of a model file. */
  paste(text) {
    const plain = text.trim();
    if (!plain) return Promise.resolve();
    if (!isLink(plain)) return this.#read('The pasted text', '', text);
    const link = fromHash(plain.includes('#') ? plain.slice(plain.indexOf('#')) : '');
    if (link.state) this.page.coming.open(link);
    else this.page.notice.say('This link holds no state: what a link of this page says of the connector stands behind #.');
    return Promise.resolve();
  }

  /** A model file of the user's; its text is checked by the program, which keeps nothing of it. */
  async open(file) {
    if (file.size > LARGEST) this.page.notice.say(`${file.name} is too large for a model file; allowed: ${LARGEST / 1000} kB.`);
    else await this.#read(file.name, file.name, await file.text());
    this.file.value = '';
  }

  // A mistake of a file with its line, and the measure that it is about by the name that the page has for it.
  #mistake(mistake) {
    const { told } = this.page;
    const of = measureWords(mistake.key, undefined, told) || mistake.key;
    // What helps is to be written in the file, where keys go by their own names.
    const helps = mistake.hint && `${capital(mistake.hint)}.`;
    const says = mistakeWords({ says: mistake.says }, told);
    return [[capital(mistake.place), of, says].filter(Boolean).join(': '), helps].filter(Boolean).join(' ');
  }

  async #read(words, name, toml) {
    const { page } = this;
    page.notice.say('');
    try {
      const { values, notes } = await ask('open', { toml }, 'json', 'open');
      // A file without a title goes by its name, as on the command line.
      const title = values.title ?? (name.replace(/\.[^.]*$/, '') || undefined);
      const model = title === undefined ? values : { title, ...values };
      page.names.opened(name || 'pasted', model);
      page.store.replace({ model, set: {} });
      page.notice.say([`${words} is open.`, ...notes.map((note) => `${note.replace(/[.]$/, '')}.`)].join(' '), !notes.length);
    } catch (error) {
      const { mistakes = [], message } = error;
      const lines = mistakes.slice(0, MOST_TOLD).map((m) => element('li', { textContent: this.#mistake(m) }));
      const more = mistakes.length - lines.length;
      if (more > 0) lines.push(element('li', { textContent: `${more} more mistake${more > 1 ? 's' : ''} in the same file.` }));
      page.notice.say(lines.length ? [`${words} cannot be used.`, element('ul', {}, lines)] : `${words} cannot be used: ${message}.`);
    }
  }
}
