// An answer that takes a while: what is being done, and a way out.

import { follow } from './connection.js';
import { element } from './element.js';

let under = 0;

/** Whether any answer that takes a while is being worked out, but for those of minutes, for which nothing else waits. */
export const atWork = () => under > 0;

/**
 * Asks and tells inside `home` how far the answer has come, with a button that calls it off; `cancelled` hears of that. `off` calls it off
 * from elsewhere; `as`: json or bytes; `minutes`: it takes minutes. Null when it did not come to an answer.
 */
export async function followed(address, body, home, { kind = address, cancelled = () => {}, off = new AbortController(), as = 'json', minutes = false } = {}) {
  const says = element('span', { textContent: 'At work\u2026' });
  const cancel = element('button', { type: 'button', className: 'quiet', textContent: 'Cancel' });
  const line = element('span', { className: 'under-way', 'aria-live': 'off', data: { test: 'under-way' } }, [says, cancel]);
  cancel.addEventListener('click', () => {
    cancelled();
    off.abort();
  });
  home.append(line);
  under += minutes ? 0 : 1;
  try {
    return await follow(address, body, (progress) => (says.textContent = progress.says), off.signal, kind, as);
  } finally {
    under -= minutes ? 0 : 1;
    line.remove();
  }
}
