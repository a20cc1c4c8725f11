// The picture in words, for those who cannot see it and for the labels of what is dragged.

import { kilonewtons } from './balance.js';

/** Of what was typed so many letters are repeated. */
const LONGEST_REPEATED = 40;

/** A unit as people write it. */
export const unitWords = (unit) => (unit === 'deg' ? '\u00b0' : (unit ?? '').replace('^2', '\u00b2').replace('^3', '\u00b3'));

/** Offset in words: "3.5 mm toward the gate". */
export function offsetWords(mm) {
  const size = Math.abs(mm).toFixed(1).replace(/\.0$/, '');
  if (size === '0') return 'centred';
  return `${size} mm toward the ${mm > 0 ? 'gate' : 'spine'}`;
}

/**
 * Words of the program name keys of the model file, whole (nose.tip_mm) or their last part; on the page a measure goes by
 * the name of its row.
 */
export function named(words, { parameters, groups }) {
  return words
    .replace(/\b[a-z]+(\.[a-z_]+)+\b/g, (key) => {
      const p = parameters.find((q) => q.key === key.replace('rig.both.', 'rig.upper.'));
      if (p && p.key !== key) return `${p.label.toLowerCase().replace('upper ', '')} at both ends:`;
      return p ? `${groups.find((g) => g.id === p.group).title}, ${p.label.toLowerCase()}:` : key;
    })
    .replace(/: (is|and) /g, ' $1 ')
    .replace(/:(?=[):,.;]|$)/g, '')
    .replace(/\b[a-z]+(_[a-z]+)*_(mm|kn|deg)\b/g, (part) => {
      const alike = parameters.filter((q) => q.key.endsWith(`.${part}`));
      // Of both ends it is told by its own words.
      return alike.length === 1 ? `the ${alike[0].label.toLowerCase()}` : alike.length ? part.replace(/_[a-z]+$/, '').replaceAll('_', ' ') : part;
    });
}

/** A mistake in whole sentences: what is wrong, and what helps. */
export function mistakeWords({ says, hint }, start) {
  return [says, hint].filter(Boolean).map((part) => `${capital(named(part, start)).replace(/[.]$/, '')}.`).join(' ');
}

/** With a capital at its beginning. */
export const capital = (words) => words.replace(/^./, (c) => c.toUpperCase());

/** How likely something is: what was drawn or weighed is never certain, so there is no 0 % and no 100 %. */
export const likelihood = (p) => part(Math.min(1 - 1e-6, Math.max(1e-6, p)));

/** A part of a whole: 0 % and 100 % are told of nothing and all of it only. */
export function part(share) {
  const percent = 100 * share;
  if (percent > 0 && percent < 0.95) return 'under 1 %';
  return percent < 100 && percent > 99.05 ? 'over 99 %' : `${percent.toFixed(0)} %`;
}

/** What was typed or pasted, no longer than the program repeats it either. */
export function shortened(value) {
  const letters = [...String(value)];
  return letters.length > LONGEST_REPEATED ? `${letters.slice(0, LONGEST_REPEATED).join('')}...` : String(value);
}

/** The measure that a mistake is about, with the value that is set: "Rig, upper offset, set to 99 mm". */
export function measureWords(key, value, { parameters, groups }) {
  const p = parameters.find((q) => q.key === key);
  if (!p) return '';
  const set = typeof value === 'number' || typeof value === 'string' ? `, set to ${shortened(value)}${typeof value === 'number' && p.unit ? ` ${unitWords(p.unit)}` : ''}` : '';
  return `${groups.find((g) => g.id === p.group).title}, ${p.label.toLowerCase()}${set}`;
}

/** Whether the highest stresses tell at least where they are: far beyond what the connector holds they tell nothing. */
export const tellsPlaces = (head) => head.places !== false;

/** The hottest places: stresses that are results, away from notch and hinge hole, which are told apart. None where they tell nothing. */
export function hottest(head, count = 3) {
  if (!tellsPlaces(head)) return [];
  return head.findings.peaks.filter((p) => p.trusted && !p.joint).slice(0, count);
}

/** What goes before forces of a state that is not known to hold its load. */
export const ifHeld = (head) => (head.judged && !head.findings.beyond.length ? '' : 'if nothing gave way');

/** The whole picture in words. */
export function pictureWords(head, weakest) {
  const { share, load_kn, connector } = head.findings;
  const percent = (kn) => Math.round((100 * kn) / (load_kn || 1));
  const peaks = hottest(head).map((p) => `${p.where}: ${Math.round(p.von_mises_mpa)} MPa.`);
  return [
    `${connector}, ${head.rig_words}.`,
    head.sentence,
    head.stresses ?? '',
    ...(head.hazards ?? []),
    `${ifHeld(head) ? 'If nothing gave way, of' : 'Of'} ${kilonewtons(load_kn)} the spine carries ${kilonewtons(share.spine_kn)} (${percent(share.spine_kn)} percent) and the gate ${kilonewtons(share.gate_kn)} (${percent(share.gate_kn)} percent).`,
    weakest ? `First to fail: ${weakest.what} at ${kilonewtons(weakest.at_kn)}.` : '',
    ...(peaks.length ? ['Highest stresses away from notch and hinge hole:', ...peaks] : []),
    head.yields ? `The hottest place ${head.yields}.` : '',
    head.notch ?? '',
    head.nose?.beside ?? '',
    head.nose?.forces.length ? `The nose is shown enlarged: its pin presses with ${head.nose.forces.map((f) => f.told).join(' and ')}.` : '',
    `The frame yields at ${Math.round(head.yield_mpa.frame)} MPa.`,
    head.caution,
  ].filter(Boolean).join(' ');
}

/** Says something politely, not more than once in a while, and only the last of many. */
export class Speaker {
  #timer = 0;

  constructor(home, quietMs = 700) {
    Object.assign(this, { home, quietMs });
  }

  say(words) {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => {
      if (this.home.textContent !== words) this.home.textContent = words;
    }, this.quietMs);
  }
}

/** What is different between two states in words, for a kept one beside the live one. */
export function differenceWords(kept, live) {
  const [a, b] = [kept.head.findings, live.head.findings];
  const share = Math.round(100 * (b.share.gate_fraction - a.share.gate_fraction));
  const words = [];
  // Shares and stresses hang on the load; where it differs, what does not is compared.
  const loads = [a, b].map((f) => kilonewtons(f.load_kn));
  const unlike = loads[0] !== loads[1];
  if (unlike) words.push(`the pulls are unlike, ${loads[1]} now and ${loads[0]} before: shares and stresses are not compared`);
  else if (share) words.push(`now the gate carries ${Math.abs(share)} percentage point${Math.abs(share) === 1 ? '' : 's'} ${share > 0 ? 'more' : 'less'} of the pull`);
  else words.push('now the gate carries the same part of the pull');
  const [p, q] = [hottest(kept.head, 1)[0], hottest(live.head, 1)[0]];
  if (p && q && !unlike) {
    const d = Math.round(q.von_mises_mpa - p.von_mises_mpa);
    const place = p.where === q.where ? `at the same place (${q.where})` : `${q.where} instead of ${p.where}`;
    words.push(`the highest stress away from notch and hinge hole is ${d === 0 ? 'the same' : `${Math.abs(d)} MPa ${d > 0 ? 'higher' : 'lower'}`}, ${place}`);
  }
  if (kept.weakest && live.weakest) {
    const d = live.weakest.at_kn - kept.weakest.at_kn;
    const part = kept.weakest.what === live.weakest.what ? live.weakest.what : `${live.weakest.what} instead of ${kept.weakest.what}`;
    words.push(`first to fail: ${part}, ${Math.abs(d) < 0.05 ? 'at the same load' : `${kilonewtons(Math.abs(d))} ${d > 0 ? 'later' : 'earlier'}`}`);
  }
  return capital(`${words.join('; ')}.`);
}
