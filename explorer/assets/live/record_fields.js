// Fields of a form of the records, each with a place for what is wrong with it.

import { element } from './element.js';
import { capital } from './words.js';

let made = 0;

/** A labelled field: `{ home, input, mistake }`. */
export function field(label, input, note = '') {
  const id = `record-field-${++made}`;
  Object.assign(input, { id });
  const mistake = element('p', { id: `${id}-mistake`, className: 'mistake', hidden: true });
  const small = note ? [element('small', { textContent: note })] : [];
  const home = element('div', { className: 'record-field' }, [element('label', { htmlFor: id }, [label, ...small]), input, mistake]);
  return { home, input, mistake };
}

/** A field for a text. */
export const textField = (given = {}) => element('input', { type: 'text', autocomplete: 'off', spellcheck: false, ...given });

/** What stands in fields; what is empty is not told. */
export const fieldsOf = (fields) => Object.fromEntries(Object.entries(fields).map(([key, { input }]) => [key, input.value]).filter(([, value]) => value.trim()));

/** Tells mistakes beside their fields, the first of which takes the focus; gives those that belong to none. */
export function explain(fields, mistakes) {
  const left = mistakes.filter((m) => !fields[m.key]);
  let first = null;
  for (const [key, { input, mistake }] of Object.entries(fields)) {
    const own = mistakes.filter((m) => m.key === key);
    mistake.textContent = own.map((m) => `${capital([m.says, m.hint].filter(Boolean).join('; ')).replace(/[.]$/, '')}.`).join(' ');
    mistake.hidden = !own.length;
    if (own.length) {
      input.setAttribute('aria-invalid', 'true');
      input.setAttribute('aria-describedby', mistake.id);
      first ??= input;
    } else {
      input.removeAttribute('aria-invalid');
      input.removeAttribute('aria-describedby');
    }
  }
  // Behind what opens them.
  if (first) setTimeout(() => first.focus());
  return left;
}

/** Why a file is too large to be sent; empty where it is not. */
export const tooLarge = (file, most) => (file.size > most ? `${file.name} is too large: allowed are ${Math.floor(most / 2 ** 20)} MiB.` : '');
