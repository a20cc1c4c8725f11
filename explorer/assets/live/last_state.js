// What the page was left with comes back when it is opened without a link, as long as the program opens with the same connector.

import { element } from './element.js';
import { fromHash, toHash } from './link.js';
import { titleOf } from './names.js';
import { VIEW, apart, sameState } from './state.js';
import { recall, remember } from './stored.js';

const isLast = (last) => typeof last?.hash === 'string' && typeof last.opens === 'string';
const opens = (told) => JSON.stringify(told.opens_with);
const count = (n, one) => `${n} ${one}${n === 1 ? '' : 's'}`;
let remembered = '';
let opened = '';

/** The link that the page opens with: the one in its address or, where that names no state, what the page was left with (`left`). */
export function openingLink(told) {
  const link = fromHash(location.hash);
  if (link.state) return link;
  const last = recall('last', isLast);
  const left = last?.opens === opens(told) ? fromHash(last.hash) : link;
  return left.state?.model ? { ...left, section: link.section, left: true } : link;
}

/** What is set now came with a link: it is nobody's work until something of it is changed. */
export function openedByLink({ store }) {
  opened = toHash(store.state, store.view);
}

/** Whether a state is as a link brought it. */
export const isAsOpened = (state, view) => toHash(state, view) === opened;

/** Keeps what is set now, and how it is looked at. */
export function rememberLast({ store, told }) {
  const hash = toHash(store.state, store.view);
  if (hash === remembered || hash === opened) return;
  [remembered, opened] = [hash, ''];
  // Nothing comes back rather than what was set before it.
  if (!remember('last', { hash, opens: opens(told) })) remember('last', undefined);
}

/** Says what is back, and what of it could not be used (`unusable`), with the way to start fresh; once something else is set that has been read. */
export function tellBack(page, unusable) {
  const { store, told, compare, notice } = page;
  const { state } = store;
  const kept = compare.kept.length;
  const changes = Object.keys(state.set).length;
  const plain = sameState(state, { ...told.opens_with, set: apart(told.opens_with.set) }) && Object.keys(VIEW).every((key) => store.view[key] === VIEW[key]);
  const variants = kept ? count(kept, 'kept variant') : '';
  if (plain) {
    const words = [variants && `${variants} ${kept === 1 ? 'is' : 'are'} back, under Compare.`, unusable].filter(Boolean).join(' ');
    if (words) notice.say(words, !unusable);
    return;
  }
  const what = `${titleOf(state, told.models)}${changes ? `, ${count(changes, 'measure')} changed` : ''}`;
  const fresh = element('button', { type: 'button', textContent: 'Start fresh', data: { test: 'start-fresh' } });
  fresh.addEventListener('click', () => {
    store.replace(told.opens_with);
    store.look({ ...VIEW });
    notice.say('');
  });
  notice.say([`What you last worked on is back: ${what}${variants ? `; and ${variants}` : ''}. ${unusable ? `${unusable} ` : ''}`, fresh]);
  store.listen((_, changed) => changed === 'state' && fresh.isConnected && notice.say(''));
}
