// What the page was left with comes back when it is opened without a link, as long as the program opens with the same connector.

import { element } from './element.js';
import { fromHash, toHash } from './link.js';
import { titleOf } from './names.js';
import { VIEW, sameState } from './state.js';
import { recall, remember } from './stored.js';

const isLast = (last) => typeof last?.hash === 'string' && typeof last.opens === 'string';
const opens = (told) => JSON.stringify(told.opens_with);
const count = (n, one) => `${n} ${one}${n === 1 ? '' : 's'}`;
let remembered = '';

/** The link that the page opens with: the one in its address or, where that names no state, what the page was left with (`left`). */
export function openingLink(told) {
  const link = fromHash(location.hash);
  if (link.state) return link;
  const last = recall('last', isLast);
  const left = last?.opens === opens(told) ? fromHash(last.hash) : link;
  return left.state?.model ? { ...left, section: link.section, left: true } : link;
}

/** Keeps what is set now, and how it is looked at. */
export function rememberLast({ store, told }) {
  const hash = toHash(store.state, store.view);
  if (hash === remembered) return;
  remembered = hash;
  remember('last', { hash, opens: opens(told) });
}

/** Says what is back, with the way to start fresh; once something else is set that has been read. */
export function tellBack(page, { left }) {
  const { store, told, compare, notice } = page;
  if (!left) return;
  const { state } = store;
  const kept = compare.kept.length;
  const changes = Object.keys(state.set).length;
  const plain = sameState(state, told.opens_with) && Object.keys(VIEW).every((key) => store.view[key] === VIEW[key]);
  if (plain && !kept) return;
  const variants = kept ? count(kept, 'kept variant') : '';
  if (plain) {
    notice.say(`${variants} ${kept === 1 ? 'is' : 'are'} back, under Compare.`, true);
    return;
  }
  const what = `${titleOf(state, told.models)}${changes ? `, ${count(changes, 'measure')} changed` : ''}`;
  const fresh = element('button', { type: 'button', textContent: 'Start fresh', data: { test: 'start-fresh' } });
  fresh.addEventListener('click', () => {
    store.replace(told.opens_with);
    store.look({ ...VIEW });
  });
  notice.say([`What you last worked on is back: ${what}${variants ? `; and ${variants}` : ''}. `, fresh]);
  store.listen((_, changed) => changed === 'state' && fresh.isConnected && notice.say(''));
}
