// Another connector in the same rig: load, gate, straps and bars stay on the bench when the connector is changed.

/** The rig of the present state as changes of another model: what that model says otherwise. */
export function rigFor(model, { told, controls, scene, store }) {
  const { set: changed } = store.state;
  const given = (key) => changed[key] ?? controls.base(key);
  const theirs = typeof model === 'string' ? told.models.find((m) => m.name === model)?.values ?? {} : model;
  const set = {};
  const differs = (key, value) => value !== undefined && String(theirs[key]) !== String(value);
  for (const p of told.parameters) {
    if (p.group !== 'rig') continue;
    if (p.kind === 'choice') {
      // What a model leaves out is the first choice.
      const own = theirs[p.key] ?? p.choices[0].value;
      const value = given(p.key) ?? p.choices[0].value;
      if (value !== own) set[p.key] = value;
      continue;
    }
    const { key: by, in: meant } = p.shown_when ?? {};
    if (by && !meant.includes(given(by) ?? told.parameters.find((q) => q.key === by).choices[0].value)) continue;
    // What neither model says is the same for both.
    const value = given(p.key) ?? (theirs[p.key] === undefined || scene?.state !== store.state ? undefined : scene.head.used[p.key]);
    if (differs(p.key, value)) set[p.key] = typeof value === 'string' && value.trim() && Number.isFinite(Number(value)) ? Number(value) : value;
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
