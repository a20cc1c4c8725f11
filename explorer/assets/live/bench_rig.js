// Another connector in the same rig: load, gate, straps and bars stay on the bench when the connector is changed.

const number = (value) => (typeof value === 'string' && value.trim() ? Number(value) : value);

/** Whether two values of a key are the same, as numbers where both are. */
function same(a, b) {
  const [x, y] = [number(a), number(b)];
  return Number.isFinite(x) && Number.isFinite(y) ? x === y : String(a) === String(b);
}

/** The rig of the present state as changes of another model: what that model does not have by itself, told or left out. */
export function rigFor(model, { told, controls, store }) {
  const { set: changed } = store.state;
  const theirs = typeof model === 'string' ? told.models.find((m) => m.name === model)?.values ?? {} : model;
  // Of a choice that is left out it is the first word.
  const leftOut = (p) => (p.kind === 'choice' ? p.choices[0].value : p.default ?? undefined);
  const given = (p) => changed[p.key] ?? controls.base(p.key) ?? leftOut(p);
  const set = {};
  for (const p of told.parameters) {
    if (p.group !== 'rig') continue;
    const { key: by, in: meant } = p.shown_when ?? {};
    if (by && !meant.includes(given(told.parameters.find((q) => q.key === by)))) continue;
    const value = given(p);
    if (value === undefined || same(value, theirs[p.key] ?? leftOut(p))) continue;
    const plain = number(value);
    set[p.key] = Number.isFinite(plain) ? plain : value;
  }
  return set;
}

/** What of a rig a connector does not take, in words. */
export function leftWords(left, { told }) {
  const parts = left.map(({ key, value, says, hint }) => {
    const p = told.parameters.find((q) => q.key === key);
    const end = key.startsWith('rig.upper.') ? 'Upper end, ' : key.startsWith('rig.lower.') ? 'Lower end, ' : '';
    const label = p && !p.label.toLowerCase().startsWith(end.slice(0, 5).toLowerCase() || '-') ? `${end}${end ? p.label.toLowerCase() : p.label}` : p?.label ?? key;
    return `${label} ${value}${p?.unit ? ` ${p.unit}` : ''}: ${says.replace(/^./, (c) => c.toLowerCase())}${hint ? ` (${hint})` : ''}.`;
  });
  return `These settings of the rig do not fit this connector; its own are used in their place. ${parts.join(' ')}`;
}
