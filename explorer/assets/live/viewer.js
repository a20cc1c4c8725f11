// offline: element.js colour.js raster.js mesh.js answer.js balance.js seats.js view.js straps.js drawing.js ribbon.js trajectories.js legend.js words.js looks.js hover.js lens.js pinch.js
// The saved page: the map of one state with hover and zoom, kept states beside it, a slider over a sweep. No program.

import { meshOf, sceneOf, unpack } from './answer.js';
import { Balance, kilonewtons } from './balance.js';
import { Drawing, LOOKS } from './drawing.js';
import { element } from './element.js';
import { Reader, readingWords } from './hover.js';
import { pastMarks, ruler } from './legend.js';
import { Lens } from './lens.js';
import { drawingOptions, rigOf, spanOf } from './looks.js';
import { Pinch } from './pinch.js';
import { seats } from './seats.js';
import { bounds, fitting, toPlane } from './view.js';
import { hottest, ifHeld, named, offsetWords, pictureWords } from './words.js';

const data = JSON.parse(document.getElementById('data').textContent);
const looks = { field: { pull: 'pull', trajectories: 'trajectories' }[data.field] ?? 'mises', ribbon: false, enlarged: 0 };
const meshes = new Map();

function sceneFrom(base64) {
  const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
  const answer = unpack(bytes.buffer);
  if (answer.blocks['frame.points']) meshes.set(answer.head.mesh_id, meshOf(answer));
  const scene = sceneOf(answer, meshes.get(answer.head.mesh_id));
  scene.seats = seats(scene.bodies.frame);
  return scene;
}

const entries = [{ ...data.now, name: 'now' }, ...data.kept].map((e) => ({ ...e, scene: sceneFrom(e.answer) }));
const steps = (data.sweep?.steps ?? []).map((s) => ({ ...s, scene: s.answer ? sceneFrom(s.answer) : null }));
const scenes = [...entries, ...steps].map((e) => e.scene).filter(Boolean);

const home = document.getElementById('viewer');
const words = {
  title: element('p', { className: 'title' }),
  rig: element('p', { className: 'rig' }),
  sentence: element('h1', { id: 'sentence' }),
  told: element('p', { id: 'stresses' }),
  weakest: element('p', { className: 'stamp', id: 'weakest' }),
  balance: element('div', { className: 'balance' }),
  story: element('p', { id: 'tells' }),
  hot: element('ol'),
  notch: element('p', { id: 'notch' }),
  warnings: element('ul', { className: 'warnings', id: 'warnings' }),
};
const balance = new Balance(words.balance);
const buttons = element('div', { className: 'looks' });
const pictures = element('div', { className: 'pictures' });
const caution = element('p', { className: 'caution', textContent: data.caution });
home.append(element('section', { className: 'story' }, Object.values(words)), element('section', { className: 'easel' }, [buttons, pictures]), caution);

const dark = matchMedia('(prefers-color-scheme: dark)');
let printed = false;

/** What fails first of an entry. */
const weakestOf = ({ limits }) => (limits?.fails_first ? { what: limits.fails_first, at_kn: limits.fails_at_kn } : null);
const told = (weakest) => `${weakest.what}, ${kilonewtons(weakest.at_kn)}`;

// All pictures are looked at through one lens, so that they stay comparable.
const lens = new Lens();

class Picture {
  constructor(entry) {
    this.entry = entry;
    this.drawing = new Drawing();
    this.reader = new Reader();
    this.canvas = element('canvas', { role: 'img', tabIndex: 0 });
    this.reading = element('p', { className: 'reading', hidden: true, role: 'status' });
    this.caption = element('figcaption');
    this.box = element('figure', {}, [this.canvas, this.reading, this.caption]);
    this.canvas.addEventListener('pointermove', (e) => this.#over(e));
    this.canvas.addEventListener('pointerleave', () => (this.reading.hidden = true));
    new Pinch(this.canvas, {
      holds: () => lens.zoom > 1,
      moved: (dx, dy) => this.pan(dx, dy),
      zoomed: (factor, at) => this.nearer(factor, at),
    });
    this.canvas.addEventListener('keydown', (e) => {
      const pans = { ArrowLeft: [40, 0], ArrowRight: [-40, 0], ArrowUp: [0, 40], ArrowDown: [0, -40] };
      if (e.ctrlKey || e.metaKey || e.altKey) return;
      if (e.key in pans) this.pan(...pans[e.key]);
      else if (e.key === '+' || e.key === '=') this.nearer(1.3);
      else if (e.key === '-') this.nearer(1 / 1.3);
      else if (e.key === '0') all();
      else return;
      e.preventDefault();
    });
  }

  nearer(factor, at) {
    lens.nearer(factor, this.whole, this.area, at);
    draw();
  }

  pan(dx, dy) {
    lens.pan(dx, dy, this.whole, this.bounds);
    draw();
  }

  draw() {
    const { scene } = this.entry;
    const [w, h] = [this.canvas.clientWidth, this.canvas.clientHeight];
    if (!w || !h) return;
    const ratio = printed ? 3 : Math.min(2, devicePixelRatio || 1);
    this.canvas.width = Math.round(w * ratio);
    this.canvas.height = Math.round(h * ratio);
    const most = Math.max(...scenes.map((s) => spanOf(s, looks.field).high));
    const look = LOOKS[dark.matches && !printed ? 'dark' : 'light'];
    const colours = spanOf(scene, looks.field, most);
    const options = drawingOptions(scene, look, looks, colours);
    const ruled = w > 420 ? 92 : 66;
    const area = { x: 0.04 * w, y: 0.13 * h, w: 0.9 * w - ruled, h: 0.74 * h };
    this.area = area;
    this.bounds = bounds([scene.bodies.frame, scene.bodies.gate]);
    this.whole = fitting(this.bounds, area);
    this.view = lens.view(this.whole, area);
    options.over = (context) => {
      if (looks.field === 'trajectories') return;
      const ruling = [colours, scene.head.yield_mpa.frame, { x: w - ruled - 6, y: 12, w: ruled, h: h - 24 }, w > 420 ? 15 : 12, getComputedStyle(document.documentElement).fontFamily];
      ruler(context, ...ruling);
      pastMarks(context, ...ruling, look.ink);
    };
    Object.assign(options, { view: this.view, size: [w, h], ratio, rig: rigOf(scene.head) });
    this.where = this.drawing.draw(this.canvas.getContext('2d'), scene, options);
    const weakest = weakestOf(this.entry);
    this.canvas.setAttribute('aria-label', pictureWords(scene.head, weakest));
    const { share } = scene.head.findings;
    this.caption.textContent = `${this.entry.name === 'now' ? '' : `${this.entry.name}: ${scene.head.findings.connector}, `}${scene.head.rig_words}; ${ifHeld(scene.head) && `${ifHeld(scene.head)}: `}gate ${kilonewtons(share.gate_kn)}${weakest ? `; fails first: ${told(weakest)}` : ''}`;
  }

  #over(e) {
    const { scene } = this.entry;
    const reading = this.where && this.reader.read(scene, this.where.drawn, toPlane(this.view, [e.offsetX, e.offsetY]), looks.field);
    this.reading.hidden = !reading;
    if (reading) this.reading.textContent = readingWords(reading, scene.head, looks.field).join(', ');
  }
}

const shown = entries.map((e) => new Picture({ ...e }));
pictures.append(...shown.map((p) => p.box));

function draw() {
  const { scene, limits } = shown[0].entry;
  const { head } = scene;
  words.title.textContent = head.findings.connector;
  words.rig.textContent = head.rig_words;
  words.sentence.textContent = head.sentence;
  const weakest = weakestOf(shown[0].entry);
  words.weakest.hidden = !weakest;
  if (weakest) words.weakest.replaceChildren(element('small', { textContent: 'fails first' }), element('b', { textContent: told(weakest) }));
  words.story.textContent = (limits?.story ?? []).join(' ');
  words.told.textContent = head.stresses ?? '';
  words.warnings.replaceChildren(...[...head.hazards, ...head.notes].map((said) => element('li', { textContent: named(said, data.names) })));
  words.notch.textContent = [head.notch, head.nose?.beside].filter(Boolean).join(' ');
  words.hot.replaceChildren(...hottest(head).map((p) => element('li', { textContent: `${Math.round(p.von_mises_mpa)} MPa: ${p.where}` })));
  balance.show(head.findings.share, head.findings.load_kn, !head.gate_carries, ifHeld(head));
  for (const picture of shown) picture.draw();
}

function all() {
  lens.fit();
  draw();
}

function button(text, press) {
  const made = element('button', { type: 'button', textContent: text });
  made.addEventListener('click', () => press(made));
  buttons.append(made);
  return made;
}

const fields = [['mises', 'stress'], ['pull', 'pull and push'], ['trajectories', 'trajectories']].map(([field, text]) =>
  button(text, (made) => {
    looks.field = field;
    for (const other of fields) other.setAttribute('aria-pressed', String(other === made));
    draw();
  }));
fields.forEach((f, i) => f.setAttribute('aria-pressed', String(['mises', 'pull', 'trajectories'][i] === looks.field)));
button('edge ribbon', (made) => {
  looks.ribbon = !looks.ribbon;
  made.setAttribute('aria-pressed', String(looks.ribbon));
  draw();
}).setAttribute('aria-pressed', 'false');
button('+', () => shown[0].nearer(1.4)).setAttribute('aria-label', 'Zoom in');
button('\u2212', () => shown[0].nearer(1 / 1.4)).setAttribute('aria-label', 'Zoom out');
button('all', all).setAttribute('aria-label', 'Show all');

if (steps.length) {
  const output = element('output', { id: 'sweep-words', htmlFor: 'sweep' });
  // Named by itself: the words beside it are its value.
  const slider = element('input', { type: 'range', id: 'sweep', 'aria-label': data.sweep.label, min: 0, max: steps.length - 1, step: 1 });
  const first = entries[0];
  // The slider stands at the step nearest to the state that was saved.
  const ends = ['upper', 'lower'].map((end) => first.scene.head.used[data.sweep.key.replace('rig.both.', `rig.${end}.`)] ?? 0);
  const here = 0.5 * (ends[0] + ends[1]);
  const unlike = ends[0] !== ends[1] ? `It puts both ends at one place; saved: upper ${offsetWords(ends[0])}, lower ${offsetWords(ends[1])}.` : '';
  const away = steps.map((s) => Math.abs(s.value - here));
  const now = away.indexOf(Math.min(...away));
  slider.value = String(now);
  const tell = (step) => {
    output.textContent = `${data.sweep.label} ${Number(step.value.toFixed(2))} ${data.sweep.unit}${step.mistake ? `: ${named(step.mistake, data.names)}` : ''}`;
    slider.setAttribute('aria-valuetext', step.scene ? `${output.textContent}. ${step.scene.head.sentence}` : output.textContent);
    // An impossible step leaves the last one standing, and not as if it held.
    home.classList.toggle('stale', !step.scene);
  };
  slider.addEventListener('input', () => {
    const step = steps[Number(slider.value)];
    tell(step);
    if (!step.scene) return;
    shown[0].entry = { ...first, scene: step.scene, limits: step.limits };
    draw();
  });
  const asSaved = () => {
    slider.value = String(now);
    output.textContent = `${data.sweep.label}: drag to sweep`;
    slider.setAttribute('aria-valuetext', `as saved. ${unlike} ${first.scene.head.sentence}`);
    home.classList.remove('stale');
    shown[0].entry = { ...first };
  };
  asSaved();
  button('as saved', () => {
    asSaved();
    draw();
  });
  buttons.append(element('label', { className: 'sweep' }, [output, slider, element('small', { id: 'sweep-moves', textContent: unlike, hidden: !unlike })]));
}

dark.addEventListener('change', draw);
// Paper gets light colours and a sharp picture.
for (const [event, now] of [['beforeprint', true], ['afterprint', false]]) {
  addEventListener(event, () => {
    printed = now;
    draw();
  });
}
// A caption that grows takes room from its picture.
const sizes = new ResizeObserver(draw);
for (const { canvas } of shown) sizes.observe(canvas);
document.documentElement.dataset.ready = 'yes';
