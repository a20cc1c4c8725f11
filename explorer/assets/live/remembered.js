// What a reload brings back beside the state: which groups of measures are open, and what was entered of a pull that happened.

import { recall, remember } from './stored.js';

const isWords = (list) => Array.isArray(list) && list.every((one) => typeof one === 'string');
const isEntry = (entry) => typeof entry?.peak === 'string' && typeof entry.where === 'string';

function groups(home) {
  const all = [...home.querySelectorAll('details[data-group]')];
  const open = recall('open', isWords);
  if (open) for (const one of all) one.open = open.includes(one.dataset.group);
  // A change of the whole list: one that a mistake opens is told together with the others.
  home.addEventListener('toggle', () => remember('open', all.filter((one) => one.open).map((one) => one.dataset.group)), true);
}

function pull(page) {
  const [peak, where] = ['broke-at', 'broke-where'].map((id) => document.getElementById(id));
  const entry = recall('pull', isEntry);
  if (entry) {
    peak.value = entry.peak;
    // The list of places comes with the first answer.
    let put = false;
    page.listeners.push(() => {
      if (put || where.options.length < 2) return;
      put = true;
      if (!where.value && [...where.options].some((o) => o.value === entry.where)) where.value = entry.where;
    });
  }
  peak.form.addEventListener('input', () => remember('pull', { peak: peak.value, where: where.value }));
}

/** Brings back what was open and entered, and follows it from now on. */
export function bringBack(page) {
  groups(document.getElementById('controls'));
  pull(page);
}
