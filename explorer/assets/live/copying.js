// Copying a text: by the browser's clipboard where the page may use it (on this machine), by a selected field elsewhere.

import { element } from './element.js';

/** Copies; false when the browser does not let the page. */
export async function copyText(text) {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    // Over a network without encryption there is no clipboard.
  }
  const focused = document.activeElement;
  const field = element('textarea', { value: text, readOnly: true, className: 'hidden', 'aria-hidden': 'true' });
  document.body.append(field);
  field.select();
  let copied = false;
  try {
    copied = document.execCommand('copy');
  } catch {
    // Told by the answer.
  }
  field.remove();
  focused?.focus?.();
  return copied;
}

/** A field from which the text is copied by hand, all of it selected. */
export function fieldToCopy(text) {
  const field = element('input', { type: 'text', value: text, readOnly: true, 'aria-label': 'The link', data: { test: 'link-field' } });
  field.addEventListener('focus', () => field.select());
  return field;
}
