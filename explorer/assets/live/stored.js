// What the browser keeps of the page, for this address: small, of one version, and optional. A store that is full, forbidden
// or holds something else is as good as empty.

const KEY = 'pullmap-page';
const VERSION = 1;
const LARGEST = 200000;

function all() {
  try {
    const kept = JSON.parse(localStorage.getItem(KEY));
    return kept?.version === VERSION ? kept : {};
  } catch {
    return {};
  }
}

/** A part of what is kept, if there is one and it passes `right`; else undefined. */
export function recall(part, right) {
  const value = all()[part];
  try {
    return value !== undefined && right(value) ? value : undefined;
  } catch {
    return undefined;
  }
}

/** Keeps a part (undefined: no longer); the others stay as they are, those of other tabs among them. Whether it is kept. */
export function remember(part, value) {
  const text = JSON.stringify({ ...all(), version: VERSION, [part]: value });
  if (text.length > LARGEST) return false;
  try {
    localStorage.setItem(KEY, text);
    return true;
  } catch {
    // Full or forbidden: the page works without.
    return false;
  }
}

/** Hears of a part that another tab of the page has changed. */
export function whenElsewhere(part, right, told) {
  addEventListener('storage', (event) => {
    if (event.key !== KEY) return;
    const value = recall(part, right);
    if (value !== undefined) told(value);
  });
}

/** A single word beside the rest; '' when there is none. */
export function recallWord(name) {
  try {
    return localStorage.getItem(name) ?? '';
  } catch {
    return '';
  }
}

/** Keeps a single word. */
export function rememberWord(name, word) {
  try {
    localStorage.setItem(name, word);
  } catch {
    // As above.
  }
}

const isFlat = (map) => typeof map === 'object' && map !== null && !Array.isArray(map) && Object.values(map).every((v) => ['string', 'number'].includes(typeof v));

/** Whether something has the form of a state. */
export function isState(state) {
  return (typeof state?.model === 'string' || isFlat(state?.model)) && isFlat(state?.set);
}
