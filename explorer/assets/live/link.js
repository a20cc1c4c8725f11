// A state as the part of an address behind #, and back. What of a link cannot be read is told with its key and its value; the
// rest is taken.

import { VIEW, sameModel } from './state.js';

/** A longer name of a kept state is cut: cards and saved pages have no room for it. */
const LONGEST_NAME = 40;
const LINK_VERSION = '1';
const FIELDS = ['mises', 'pull', 'trajectories'];

const number = (text) => (/^-?\d+(\.\d+)?(e-?\d+)?$/i.test(text) ? Number(text) : text);

/** The value of a key of the view, or undefined when it is none. */
function viewed(key, text) {
  if (key === 'field') return FIELDS.includes(text) ? text : undefined;
  if (typeof VIEW[key] === 'boolean') return { yes: true, no: false }[text];
  const times = Number(text);
  return text.trim() && times >= 0 && times <= 30 ? times : undefined;
}

const allowedView = (key) => (key === 'field' ? FIELDS.join(', ') : typeof VIEW[key] === 'boolean' ? 'yes, no' : '0 to 30');

// Within a kept one `;` parts its entries and `=` a key from its value.
const inner = (text) => String(text).replace(/[%;=]/g, (c) => encodeURIComponent(c));
const outer = (text) => encodeURIComponent(text).replaceAll('%3B', ';').replaceAll('%3D', '=').replaceAll('%20', '+');

/** A kept state in one word: its name, its model where it is another than the link's, and what was changed of it. */
function keptToText({ name, state }, model) {
  const own = sameModel(state.model, model) ? [] : typeof state.model === 'string' ? [['model', state.model]] : Object.entries(state.model).map(([k, v]) => [`~${k}`, v]);
  return [inner(name), ...[...own, ...Object.entries(state.set)].map(([k, v]) => `${inner(k)}=${inner(v)}`)].join(';');
}

function keptFromText(text, model) {
  const [name, ...entries] = text.split(';');
  const [own, set] = [{}, {}];
  let named;
  for (const entry of entries) {
    const at = entry.indexOf('=');
    if (at < 1) return null;
    const [key, value] = [entry.slice(0, at), entry.slice(at + 1)].map(decodeURIComponent);
    if (key === 'model') named = value;
    else if (key.startsWith('~')) own[key.slice(1)] = number(value);
    else set[key] = number(value);
  }
  return { name: decodeURIComponent(name).slice(0, LONGEST_NAME), state: { model: named ?? (Object.keys(own).length ? own : model), set } };
}

/**
 * What a hash says: `{ state, view, kept, section, wrong }`, each of `wrong` with `key`, `value` and what is `allowed`. The
 * state's model is null when none is named; all of it is null when the hash holds no state (the name of a section alone).
 */
export function fromHash(hash) {
  const text = hash.replace(/^#/, '');
  if (!text.includes('=')) return { state: null, view: { ...VIEW }, kept: [], section: text, wrong: [] };
  const pairs = new URLSearchParams(text);
  const [own, set, view, parts, wrong] = [{}, {}, { ...VIEW }, [], []];
  let section = '';
  for (const [key, value] of pairs) {
    if (key === 'v') {
      if (value !== LINK_VERSION) wrong.push({ key, value, allowed: LINK_VERSION });
    } else if (key === 'kept') parts.push(value);
    else if (key === 'at') section = value;
    else if (key.startsWith('~')) own[key.slice(1)] = number(value);
    else if (!key.startsWith('view.')) {
      if (key !== 'model') set[key] = number(value);
    } else if (!Object.hasOwn(VIEW, key.slice(5))) wrong.push({ key, value, allowed: Object.keys(VIEW).map((k) => `view.${k}`).join(', ') });
    else {
      const seen = viewed(key.slice(5), value);
      if (seen === undefined) wrong.push({ key, value, allowed: allowedView(key.slice(5)) });
      else view[key.slice(5)] = seen;
    }
  }
  const model = pairs.get('model') ?? (Object.keys(own).length ? own : null);
  const kept = parts.map((part) => {
    let one = null;
    try {
      one = keptFromText(part, model);
    } catch {
      // A percent sign that encodes nothing.
    }
    if (!one) wrong.push({ key: 'kept', value: part, allowed: 'name;key=value;...' });
    return one;
  });
  return { state: { model, set }, view, kept: kept.filter((one) => one?.state.model), section, wrong };
}

/** The hash that brings a state back, with kept ones where they are given. */
export function toHash({ model, set }, view, kept = []) {
  const pairs = new URLSearchParams({ v: LINK_VERSION });
  if (typeof model === 'string') pairs.set('model', model);
  else for (const [k, v] of Object.entries(model)) pairs.set(`~${k}`, String(v));
  for (const [k, v] of Object.entries(set)) pairs.set(k, String(v));
  for (const [k, v] of Object.entries(view)) {
    if (Object.hasOwn(VIEW, k) && v !== VIEW[k]) pairs.set(`view.${k}`, v === true ? 'yes' : v === false ? 'no' : String(v));
  }
  return `#${pairs}${kept.map((one) => `&kept=${outer(keptToText(one, model))}`).join('')}`;
}
