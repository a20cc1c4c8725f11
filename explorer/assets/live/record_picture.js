// A picture that the program drew for the records, upright on a phone.

import { element } from './element.js';

/** Whether the window is as narrow as a phone. */
export const isNarrow = () => matchMedia('(max-width: 47.5em)').matches;

/** A figure of an SVG. */
export function pictureOf(text) {
  const svg = document.importNode(new DOMParser().parseFromString(text, 'image/svg+xml').documentElement, true);
  svg.removeAttribute('height');
  svg.setAttribute('width', '100%');
  return element('figure', { className: 'record-picture', data: { test: 'record-picture' } }, [svg]);
}
