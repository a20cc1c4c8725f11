// One card of a comparison: its name, its rig in words, picture, numbers, difference, and what can be done with it. Cards that
// stand side by side have the same rows at the same height.

import { element } from './element.js';

const LONGEST_NAME = 40;

/** The card of the live state, or of a kept one. */
export function card(name) {
  const made = {
    head: element('h3'),
    rig: element('p', { className: 'rig-line' }),
    canvas: element('canvas', { role: 'img' }),
    numbers: element('p', { className: 'numbers' }),
    words: element('p', { className: 'difference' }),
    buttons: element('p', { className: 'buttons' }),
  };
  made.box = element('article', { className: 'card', data: { kept: name, test: `kept-${name}` } }, [made.head, made.rig, made.canvas, made.numbers, made.words, made.buttons]);
  return made;
}

/** A kept one's card: it can be named, moved, gone back to and removed. `does` has a function for each. */
export function keptCard(entry, does) {
  const made = card(entry.name);
  const field = element('input', { type: 'text', className: 'kept-name', maxLength: LONGEST_NAME, autocomplete: 'off', data: { test: `name-${entry.name}` } });
  field.addEventListener('change', () => does.name(field.value.trim()));
  field.addEventListener('keydown', (e) => e.key === 'Enter' && field.blur());
  made.head.append(field);
  const button = (textContent, className, action) => {
    const one = element('button', { type: 'button', textContent, className });
    one.addEventListener('click', action);
    made.buttons.append(one, ' ');
    return one;
  };
  const [go, left, right, drop] = [
    button('Go back to it', '', does.go),
    button('\u2190', 'icon', () => does.move(-1)),
    button('\u2192', 'icon', () => does.move(1)),
    button('Remove', 'quiet', does.drop),
  ];
  /** Says what it is called and where it stands among `count`. */
  made.stand = (at, count) => {
    const name = nameOf(entry);
    if (document.activeElement !== field) field.value = name;
    field.setAttribute('aria-label', `Name of ${entry.name}`);
    go.setAttribute('aria-label', `Go back to ${name}`);
    left.setAttribute('aria-label', `Move ${name} to the left`);
    right.setAttribute('aria-label', `Move ${name} to the right`);
    drop.setAttribute('aria-label', `Remove ${name}`);
    [left.disabled, right.disabled] = [at === 0, at === count - 1];
    [left.hidden, right.hidden] = [count < 2, count < 2];
  };
  /** Puts the focus back on what moved it, or on the other one at an end. */
  made.hold = (way) => {
    const [wanted, other] = way < 0 ? [left, right] : [right, left];
    (wanted.disabled ? other : wanted).focus();
  };
  return made;
}

/** What a kept state is called. */
export const nameOf = ({ name, label }) => label || name;
