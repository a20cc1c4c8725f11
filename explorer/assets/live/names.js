// What connectors are called: one name in heading, list and title of the tab, an edited one too; and the files that were opened.

import { say } from './element.js';
import { sameModel } from './state.js';
import { isState, recall, remember } from './stored.js';

const MOST_FILES = 6;
const LONGEST_TITLE = 200;
const isFile = (one) => typeof one?.name === 'string' && isState({ model: one?.model, set: {} }) && typeof one.model === 'object';

/** What the connector of a state is called. */
export function titleOf({ model, set }, models) {
  const own = typeof model === 'string' ? models.find((m) => m.name === model)?.title ?? model : model.title;
  return String(set.title ?? own ?? 'own connector').slice(0, LONGEST_TITLE);
}

export class Names {
  /** `chosen(model)` hears of a choice from the list. */
  constructor(list, page, chosen) {
    Object.assign(this, { list, page });
    this.files = recall('files', (files) => Array.isArray(files) && files.every(isFile)) ?? [];
    this.builtIn = page.told.models.map((m) => new Option(m.title, m.name));
    this.own = document.createElement('optgroup');
    this.own.label = 'Opened here';
    list.replaceChildren(...this.builtIn);
    list.addEventListener('change', () => {
      const at = list.value.startsWith('file ') ? Number(list.value.slice(5)) : -1;
      chosen(at < 0 ? list.value : this.#all[at].model);
    });
  }

  // Opened files; the model of a link comes last, it has no file.
  get #all() {
    const { model } = this.page.store.state;
    const known = typeof model === 'string' || this.files.some((f) => sameModel(f.model, model));
    return known ? this.files : [...this.files, { name: '', model }];
  }

  /** A file was opened: it stays in the list, also after a reload. */
  opened(name, model) {
    this.files = [{ name, model }, ...this.files.filter((f) => f.name !== name && !sameModel(f.model, model))].slice(0, MOST_FILES);
    remember('files', this.files);
  }

  /** Name of the file that the model came from, or ''. */
  file(model) {
    return this.files.find((f) => sameModel(f.model, model))?.name ?? '';
  }

  /** Shows the names of the present state. */
  show() {
    const { store, told } = this.page;
    const { state } = store;
    const title = titleOf(state, told.models);
    const all = this.#all;
    told.models.forEach((m, i) => say(this.builtIn[i], m.name === state.model ? title : m.title));
    const words = ({ name, model }) => [sameModel(model, state.model) ? title : titleOf({ model, set: {} }, told.models), name && `(${name})`].filter(Boolean).join(' ');
    if (!all.length) this.own.remove();
    else if (!this.own.isConnected) this.list.append(this.own);
    const options = all.map((file, i) => new Option(words(file), `file ${i}`));
    const shown = (all) => [...all].map((o) => o.textContent).join('\n');
    if (shown(options) !== shown(this.own.children)) this.own.replaceChildren(...options);
    const chosen = typeof state.model === 'string' ? state.model : `file ${all.findIndex((f) => sameModel(f.model, state.model))}`;
    if (this.list.value !== chosen) this.list.value = chosen;
    const named = `${title} \u2013 pullmap`;
    if (document.title !== named) document.title = named;
  }
}
