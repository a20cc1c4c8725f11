// Taking it along: stills, drawing, findings, model file, a page that needs no program, a link; and opening a model file.

import { ask } from './connection.js';
import { element, save } from './element.js';
import { toHash } from './state.js';
import { mistakeWords } from './words.js';

/** Good news goes away by itself after so long, ms. */
const PASSING_MS = 6000;
const FIELDS = { mises: 'von_mises', pull: 'pull', trajectories: 'trajectories' };

export class Share {
  constructor(home, page) {
    Object.assign(this, { home, page });
    const items = [
      ['link', 'Copy a link to this state'],
      ['still-1920x1080', 'Picture for a video, 1920 \u00d7 1080'],
      ['still-1080x1920', 'Picture for a phone, 1080 \u00d7 1920'],
      ['still-1080x1080', 'Square picture, 1080 \u00d7 1080'],
      ['svg', 'Drawing (SVG)'],
      ['findings', 'Findings (JSON)'],
      ['toml', 'Model file (TOML)'],
      ['page', 'A page that needs no program (HTML)'],
    ];
    for (const [what, words] of items) {
      const button = element('button', { type: 'button', textContent: words, data: { export: what, test: `export-${what}` } });
      button.addEventListener('click', () => this.#take(what, button));
      home.append(button);
    }
    this.file = element('input', { type: 'file', accept: '.toml,text/plain', className: 'hidden', id: 'open-file', tabIndex: -1, 'aria-label': 'Model file', data: { test: 'open-file' } });
    document.getElementById('open').addEventListener('click', () => this.file.click());
    this.file.addEventListener('change', () => this.file.files[0] && this.open(this.file.files[0]));
    home.append(this.file);
    // What became of it is told where it is seen whether the menu is open or not; it stays until it is read.
    this.said = element('span', { role: 'status', data: { test: 'share-status' } });
    const read = element('button', { type: 'button', className: 'icon quiet', textContent: '\u00d7', 'aria-label': 'Close this message' });
    this.notice = element('div', { className: 'notice', hidden: true }, [this.said, read]);
    read.addEventListener('click', () => this.#say(''));
    document.body.append(this.notice);
    addEventListener('pointerdown', (e) => {
      const menu = home.closest('details');
      if (menu.open && !menu.contains(e.target)) menu.open = false;
    });
    home.closest('details').addEventListener('keydown', (e) => {
      if (e.key !== 'Escape') return;
      home.closest('details').open = false;
      home.closest('details').firstElementChild.focus();
    });
  }

  #say(words, passing = false) {
    clearTimeout(this.passing);
    this.said.textContent = words;
    this.notice.hidden = !words;
    if (passing) this.passing = setTimeout(() => (this.notice.hidden = true), PASSING_MS);
  }

  #name(ending) {
    const { model } = this.page.store.state;
    const name = typeof model === 'string' ? model : String(model.title ?? 'connector');
    return `${name.toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-|-$/g, '')}${ending}`;
  }

  async #take(what, button) {
    const { store } = this.page;
    const { state, view } = store;
    const drawn = { state, field: FIELDS[view.field] ?? 'von_mises', enlarged: view.enlarged };
    button.disabled = true;
    this.#say('One moment\u2026');
    try {
      if (what === 'link') {
        await navigator.clipboard.writeText(location.origin + location.pathname + toHash(state, view));
      } else if (what.startsWith('still-')) {
        const size = what.slice(6).split('x').map(Number);
        save(await ask('still', { ...drawn, size }, 'blob', 'still'), this.#name(`-${what.slice(6)}.png`));
      } else if (what === 'svg') {
        save(await ask('svg', { ...drawn, size: [1600, 1200] }, 'blob', 'svg'), this.#name('.svg'));
      } else if (what === 'findings') {
        save(await ask('findings', { state }, 'blob', 'findings'), this.#name('-findings.json'));
      } else if (what === 'toml') {
        save(await ask('save', { state }, 'blob', 'save'), this.#name('.toml'));
      } else {
        const kept = this.page.compare.kept.map(({ name, state: one }) => ({ name, state: one }));
        save(await ask('page', { state, kept, sweep: this.#sweep(), field: drawn.field }, 'blob', 'page'), this.#name('.html'));
      }
      this.#say(what === 'link' ? 'The link is copied.' : 'Saved by your browser.', true);
    } catch (error) {
      this.#say([error.message, ...(error.mistakes ?? []).map((m) => mistakeWords(m, this.page.told))].join(' '));
    }
    button.disabled = false;
  }

  // The saved page has a slider along both ends' offset.
  #sweep() {
    const { head } = this.page.scene;
    const ends = ['upper', 'lower'].map((e) => [head[e].room_mm, head[e].kind === 'strap' ? head[e].width_mm / 2 : 0]);
    const from = Math.ceil(Math.max(...ends.map(([room, half]) => room[0] + half)));
    const to = Math.floor(Math.min(...ends.map(([room, half]) => room[1] - half)));
    return to > from ? { key: 'rig.both.offset_mm', from, to, n: Math.min(13, to - from + 1) } : null;
  }

  /** Opens a model file of the user's; its text is checked by the program, the file is not kept. */
  async open(file) {
    this.#say('');
    if (file.size > 900000) {
      this.#say(`${file.name} is too large for a model file; allowed: 900 kB.`);
      return;
    }
    try {
      const { values } = await ask('open', { toml: await file.text() }, 'json', 'open');
      this.page.store.replace({ model: values, set: {} });
      this.#say(`${file.name} is open.`, true);
    } catch (error) {
      const lines = (error.mistakes ?? []).map((m) => [m.place, m.key, m.says].filter(Boolean).join(': '));
      this.#say([`${file.name} cannot be used. ${error.message}`, ...lines].join(' '));
    }
    this.file.value = '';
  }
}
