// What a chart may run over: every number of the connector and its rig that has a meaning now, and how far.

/** The groups in the order in which one thinks of them. */
export const ORDER = ['rig', 'window', 'nose', 'sections', 'gate', 'hinge', 'material', 'marking'];
/** Measures that are asked for most. */
export const QUICK = [
  { key: 'rig.both.offset_mm', words: 'offset' },
  { key: 'rig.both.width_mm', words: 'strap width' },
  { key: 'rig.both.diameter_mm', words: 'bar diameter' },
  { key: 'nose.notch_depth_mm', words: 'notch depth' },
];

const exact = (x) => Number(x.toFixed(6));
const capital = (words) => words.replace(/^./, (c) => c.toUpperCase());

/** A value at a whole step of its slider. */
export const atStep = ({ slider }, value) => exact(Math.round(value / slider.step) * slider.step);

/**
 * The measures in groups `{ title, measures }`; of the two ends of a rig both at once first. A measure is a parameter of the
 * program with `keys`, what a click sets. A marking is none: nothing depends on it.
 */
export function measureGroups({ parameters, groups }, chosen) {
  const has = ({ shown_when: when }) => !when || when.in.includes(chosen(when.key));
  const numbers = parameters.filter((p) => p.slider && p.group !== 'marking' && has(p)).map((p) => ({ ...p, keys: [p.key] }));
  const both = numbers.flatMap((p) => {
    const other = p.key.replace('rig.upper.', 'rig.lower.');
    if (other === p.key || !numbers.some((q) => q.key === other)) return [];
    return [{ ...p, key: p.key.replace('rig.upper.', 'rig.both.'), keys: [p.key, other], label: `${capital(p.label.replace(/^Upper /, ''))}, both ends` }];
  });
  return ORDER.flatMap((id) => {
    const measures = [...both, ...numbers].filter((m) => m.group === id);
    return measures.length ? [{ title: groups.find((g) => g.id === id).title, measures }] : [];
  });
}

/** From where to where a chart runs: where the slider does, as far as the rig has room, and where the connector stands now. */
export function rangeOf(measure, head) {
  let { min, max } = measure.slider;
  const ends = ['upper', 'lower'].filter((end) => measure.keys.some((key) => key.startsWith(`rig.${end}.`))).map((end) => head[end]);
  const [low, high] = [Math.max(...ends.map((e) => e.room_mm[0])), Math.min(...ends.map((e) => e.room_mm[1]))];
  if (measure.key.endsWith('.offset_mm')) {
    const half = Math.max(...ends.map((e) => (e.kind === 'strap' ? e.width_mm / 2 : 0)));
    [min, max] = [Math.ceil(low + half), Math.floor(high - half)];
  } else if (ends.length && measure.key.endsWith('.width_mm')) {
    max = Math.min(max, Math.floor(2 * Math.min(...ends.map((e) => Math.min(e.offset_mm - low, high - e.offset_mm)))));
  }
  const used = measure.keys.flatMap((key) => head.used[key] ?? []).filter(Number.isFinite);
  return [Math.min(min, ...used), Math.max(max, ...used)];
}

/** How many values, about as many as wanted: so that they lie at whole steps of the slider where that can be. */
export function countOf({ slider }, [from, to], wanted) {
  const steps = (to - from) / slider.step;
  const whole = Math.round(steps);
  if (Math.abs(steps - whole) > 1e-6) return wanted;
  const fits = (parts) => parts >= 2 && whole % parts === 0;
  for (let away = 0; away <= wanted / 3; away++) {
    const parts = [wanted - 1 + away, wanted - 1 - away].find(fits);
    if (parts) return parts + 1;
  }
  return wanted;
}

/** A narrower range where much of this one does not fit: to the first value beyond what does; null where it will do. */
export function narrower(measure, { plot, rows, now }) {
  const fits = rows.flatMap((row, at) => (row.mistake ? [] : [at]));
  if (fits.length > 0.6 * rows.length) return null;
  if (!fits.length) {
    const step = Math.max(measure.slider.step, (plot.to - plot.from) / (2 * rows.length));
    return now === null ? null : [exact(now - 2 * step), exact(now + 2 * step)];
  }
  const at = (place) => rows[Math.min(rows.length - 1, Math.max(0, place))].value;
  const range = [at(fits[0] - 1), at(fits.at(-1) + 1)];
  return range[0] > plot.from || range[1] < plot.to ? range : null;
}

/** Stretches of values that do not fit: from, to, the reasons at the end that is nearest to what does, and the values beside it that still do. */
export function refusedStretches(rows) {
  const all = [];
  rows.forEach(({ value, mistake, mistakes }, at) => {
    if (!mistake) return;
    const last = all.at(-1);
    if (last?.end !== at - 1) all.push({ start: at, end: at, from: value, to: value, mistakes });
    else Object.assign(last, { end: at, to: value, mistakes: last.start === 0 ? mistakes : last.mistakes });
  });
  return all.map((one) => ({ ...one, still: [one.start - 1, one.end + 1].flatMap((at) => rows[at]?.value ?? []) }));
}
