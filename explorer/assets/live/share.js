// Taking it along: stills, drawing, findings, model file, a page that needs no program, a link.

import { solveAll } from './compare.js';
import { ask } from './connection.js';
import { copyText, fieldToCopy } from './copying.js';
import { element, save } from './element.js';
import { toHash } from './link.js';
import { titleOf } from './names.js';
import { sameState } from './state.js';
import { mistakeWords } from './words.js';

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
    this.page.notice.say(words, passing);
  }

  #name(state, ending) {
    const name = typeof state.model === 'string' && !state.set.title ? state.model : titleOf(state, this.page.told.models);
    return `${name.toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-|-$/g, '')}${ending}`;
  }

  async #take(what, button) {
    const { store } = this.page;
    // All of it is of the moment of the click, whatever the hand does until it is made.
    const { state } = store;
    const view = { ...store.view };
    const kept = this.page.compare.list();
    const named = (ending) => this.#name(state, ending);
    const drawn = { state, field: FIELDS[view.field] ?? 'von_mises', enlarged: view.enlarged };
    button.disabled = true;
    this.#say('One moment\u2026');
    try {
      if (what === 'link') {
        const link = location.origin + location.pathname + toHash(state, view, kept);
        if (!(await copyText(link))) {
          const field = fieldToCopy(link);
          this.#say(['This browser does not let the page copy; take the link from here: ', field]);
          field.focus();
          button.disabled = false;
          return;
        }
      } else if (what.startsWith('still-')) {
        const size = what.slice(6).split('x').map(Number);
        save(await ask('still', { ...drawn, size }, 'blob', what), named(`-${what.slice(6)}.png`));
      } else if (what === 'svg') {
        save(await ask('svg', { ...drawn, size: [1600, 1200] }, 'blob', 'svg'), named('.svg'));
      } else if (what === 'findings') {
        save(await ask('findings', { state }, 'blob', 'findings'), named('-findings.json'));
      } else if (what === 'toml') {
        save(await ask('save', { state }, 'blob', 'save'), named('.toml'));
      } else {
        save(await ask('page', { state, kept, sweep: await this.#sweep(state), field: drawn.field }, 'blob', 'page'), named('.html'));
      }
      this.#say(what === 'link' ? 'The link is copied.' : 'Saved by your browser.', true);
    } catch (error) {
      this.#say([error.message, ...(error.mistakes ?? []).map((m) => mistakeWords(m, this.page.told))].join(' '));
    }
    button.disabled = false;
  }

  // The saved page has a slider along both ends' offset.
  async #sweep(state) {
    const { scene } = this.page;
    const { head } = scene && sameState(scene.state, state) ? scene : await solveAll(state, 'sweep');
    const ends = ['upper', 'lower'].map((e) => [head[e].room_mm, head[e].kind === 'strap' ? head[e].width_mm / 2 : 0]);
    const from = Math.ceil(Math.max(...ends.map(([room, half]) => room[0] + half)));
    const to = Math.floor(Math.min(...ends.map(([room, half]) => room[1] - half)));
    return to > from ? { key: 'rig.both.offset_mm', from, to, n: Math.min(13, to - from + 1) } : null;
  }
}
