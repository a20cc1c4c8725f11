// The measures of the connector and its rig, grouped as one thinks of them: a typed number, a slider, a way back.

import { attribute, element as make, say } from './element.js';
import { fitField } from './field_width.js';
import { ORDER } from './measures.js';
import { mistakeWords, unitWords } from './words.js';

const BACK = '<svg viewBox="0 0 24 24" aria-hidden="true"><path d="M8 5 3.500 9.500 8 14M3.500 9.500H14a5.500 5.500 0 0 1 0 11h-3"/></svg>';
const plain = (v) => String(Math.round(v * 1000) / 1000);
/** A number as the address has it too. All else goes to the program as it was typed: `4 \u00b1 0.2`, `12-15`, `1/2 in`, `3,4`. */
const isNumber = (text) => /^-?(\d+\.?\d*|\.\d+)$/.test(text);

/** Where the filled part of a slider ends. */
export function fillSlider(slider) {
  const part = (slider.value - slider.min) / (slider.max - slider.min || 1);
  const filled = `${(100 * part).toFixed(1)}%`;
  if (slider.style.getPropertyValue('--part') !== filled) slider.style.setProperty('--part', filled);
}

export class Controls {
  #rows = new Map();
  #groups = new Map();
  #explained = false;

  /** `told(event)` hears of each event of the hand before the state changes. */
  constructor(home, store, start, told) {
    Object.assign(this, { home, store, start, told });
    this.models = new Map(start.models.map((m) => [m.name, m]));
    home.addEventListener('submit', (e) => e.preventDefault());
    const groups = [...start.groups].sort((a, b) => ORDER.indexOf(a.id) - ORDER.indexOf(b.id));
    const roomy = matchMedia('(min-width: 2200px)').matches;
    for (const group of groups) {
      const rows = start.parameters.filter((p) => p.group === group.id).map((p) => this.#row(p));
      if (!rows.length) continue;
      const count = make('span', { className: 'count' });
      const box = make('details', { open: group.id === 'rig' || roomy }, [make('summary', {}, [group.title, count]), ...rows]);
      box.dataset.group = group.id;
      this.#groups.set(group.id, { box, count });
      box.addEventListener('toggle', () => box.open && this.show(this.scene));
      home.append(box);
    }
  }

  #row(p) {
    const id = `c-${p.key.replaceAll('.', '-')}`;
    const label = make('label', { htmlFor: id, textContent: p.label, title: p.about });
    const back = make('button', { type: 'button', className: 'back', innerHTML: BACK, title: 'Back to the model\u2019s value', 'aria-label': `${p.label}: back to the model\u2019s value` });
    const mistake = make('p', { className: 'mistake', id: `${id}-wrong`, hidden: true });
    const head = make('div', { className: 'head' }, [label, back]);
    const row = make('div', { className: 'row' }, [head]);
    row.dataset.key = p.key;
    row.dataset.test = `row-${p.key}`;
    const entry = { p, row, back, mistake };
    back.addEventListener('click', (e) => this.#set(p, undefined, e));
    if (p.kind === 'choice' || p.kind === 'material') {
      const choices = p.kind === 'choice' ? p.choices : [
        ...this.start.materials.map((m) => ({ value: m.name, label: m.name })),
        { value: 'unknown-aluminium', label: 'unknown aluminium' }, { value: 'unknown-steel', label: 'unknown steel' },
      ];
      entry.select = make('select', { id }, choices.map((c) => make('option', { value: c.value, textContent: c.label })));
      entry.select.addEventListener('change', (e) => this.#set(p, entry.select.value, e));
      head.append(entry.select);
    } else {
      entry.text = make('input', { type: 'text', id, inputMode: p.kind === 'number' ? 'decimal' : 'text', autocomplete: 'off', className: p.kind === 'number' ? '' : 'long', 'aria-describedby': `${id}-wrong` });
      // What is being typed is left alone until it is done.
      entry.text.addEventListener('input', () => {
        entry.typing = true;
        fitField(entry.text);
      });
      for (const done of ['change', 'blur']) entry.text.addEventListener(done, () => (entry.typing = false));
      entry.text.addEventListener('change', (e) => this.#typed(p, entry.text.value, e));
      head.append(entry.text, make('span', { className: 'unit', textContent: unitWords(p.unit) }));
      if (p.slider) {
        const { min, max, step } = p.slider;
        entry.slider = make('input', { type: 'range', min, max, step, 'aria-label': `${p.label}, ${p.unit}` });
        entry.slider.addEventListener('input', (e) => this.#set(p, Number(entry.slider.value), e, true));
        entry.slider.addEventListener('change', () => {
          this.store.rest();
          this.released?.();
        });
        row.append(entry.slider);
      }
    }
    row.append(mistake);
    this.#rows.set(p.key, entry);
    return row;
  }

  #typed(p, text, event) {
    const typed = text.trim();
    if (!typed) return this.#set(p, undefined, event);
    this.#set(p, p.kind !== 'text' && isNumber(typed) ? Number(typed) : typed, event);
  }

  #set(p, value, event, hand = false) {
    const changes = { [p.key]: value };
    if (p.kind === 'choice' || p.kind === 'material') Object.assign(changes, this.#fallout(p.key, value));
    this.told(event);
    this.store.change(changes, { hand });
  }

  // A choice takes keys along: those that lose their meaning go, those that must be given get a sensible value.
  #fallout(key, value) {
    const changes = {};
    const chosen = value ?? this.chosen(key, {});
    for (const q of this.start.parameters) {
      if (q.shown_when?.key !== key) continue;
      const meant = q.shown_when.in.includes(chosen);
      if (!meant && q.key in this.store.state.set) changes[q.key] = undefined;
      if (meant && !q.left_out && this.given(q.key) === undefined && q.slider) {
        const { min, max } = q.slider;
        changes[q.key] = Math.round(min + 0.4 * (max - min));
      }
    }
    return changes;
  }

  /** The model's own value of a key. */
  base(key) {
    const { model } = this.store.state;
    return typeof model === 'string' ? this.models.get(model)?.values[key] : model[key];
  }

  given(key) {
    return this.store.state.set[key] ?? this.base(key);
  }

  // A value that is known only within a range, as people write it: once an answer is of what is set now.
  #ranged(key) {
    const { head, state } = this.scene ?? {};
    const now = this.store.state;
    return state && state.model === now.model && state.set[key] === now.set[key] ? head.ranges?.[key] : undefined;
  }

  /** The word of a choice that holds now. */
  chosen(key, set = this.store.state.set) {
    const value = set[key] ?? this.base(key);
    if (value !== undefined) return String(value);
    // A bar that says nothing of its own is as the spine; a material as the frame's.
    const inherited = key.replace(/^section\.(upper|lower)\./, 'section.spine.').replace(/^material\.gate$/, 'material.frame');
    if (inherited !== key) return this.chosen(inherited, set);
    if (key === 'material.pins') return '4340-180';
    return this.start.parameters.find((p) => p.key === key)?.choices?.[0]?.value ?? '';
  }

  /** Chooses from elsewhere on the page. */
  choose(key, value, event) {
    const p = this.#rows.get(key)?.p;
    if (p) this.#set(p, value, event);
  }

  /** Stands the rows where the last answer (or the hand) says; `scene` is null before the first one. */
  show(scene) {
    this.scene = scene;
    const used = scene?.head.used;
    const counts = new Map();
    const active = document.activeElement;
    for (const [key, e] of this.#rows) {
      const { p } = e;
      const { set } = this.store.state;
      const changed = key in set;
      if (changed) counts.set(p.group, (counts.get(p.group) ?? 0) + 1);
      // Rows of a closed group are stood when it opens.
      if (!this.#groups.get(p.group).box.open) continue;
      e.row.classList.toggle('changed', changed);
      e.back.hidden = !changed;
      e.row.hidden = Boolean(p.shown_when && !p.shown_when.in.includes(this.chosen(p.shown_when.key)));
      const value = this.#ranged(key) ?? set[key] ?? used?.[key] ?? this.base(key);
      if (e.select && e.select.value !== this.chosen(key)) e.select.value = this.chosen(key);
      if (e.text && !(e.text === active && (e.typing || e.row.classList.contains('wrong')))) {
        const shown = Array.isArray(value) ? (value.every((v) => v === value[0]) ? plain(value[0]) : `[${value.map(plain).join(', ')}]`) : typeof value === 'number' ? plain(value) : (value ?? '');
        if (e.text.value !== shown) e.text.value = shown;
        fitField(e.text);
        attribute(e.text, 'placeholder', value === undefined ? '\u2013' : '');
        attribute(e.text, 'title', value === undefined ? (p.left_out ?? '') : '');
      }
      if (e.slider) {
        // Of a range the middle, as it was used.
        const number = Array.isArray(value) ? value[0] : typeof value === 'number' ? value : parseFloat(used?.[key] ?? value);
        if (!Number.isFinite(number)) e.slider.value = e.slider.min;
        else if (Number(e.slider.value) !== number) e.slider.value = number;
        e.row.classList.toggle('unset', !Number.isFinite(number));
        fillSlider(e.slider);
        attribute(e.slider, 'aria-valuetext', `${e.text.value} ${p.unit}`);
      }
    }
    for (const [id, { count }] of this.#groups) say(count, counts.has(id) ? `${counts.get(id)} changed` : '');
  }

  /** Explains in place what is impossible; returns those mistakes that belong to no row. */
  explain(mistakes) {
    if (!mistakes.length && !this.#explained) return [];
    this.#explained = mistakes.length > 0;
    for (const e of this.#rows.values()) {
      e.row.classList.remove('wrong');
      e.mistake.hidden = true;
      e.text?.removeAttribute('aria-invalid');
    }
    return mistakes.filter((m) => {
      const e = this.#rows.get(m.key);
      if (!e) return true;
      e.row.classList.add('wrong');
      e.mistake.hidden = false;
      e.mistake.textContent = mistakeWords(m, this.start);
      e.text?.setAttribute('aria-invalid', 'true');
      this.#groups.get(e.p.group).box.open = true;
      return false;
    });
  }
}
