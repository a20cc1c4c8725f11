// Your own connector over a photo: scale, straighten, lay the outline over it, drag its points until it fits.
//
// The photo is drawn on a canvas of this page and never leaves it. What the hand fitted becomes a number of the model;
// what it did not may stay unknown within a range, and the forecast says what that is worth.

import { fillSlider } from './controls.js';
import { element } from './element.js';
import { fitPoints } from './fit_points.js';
import { whenSeen } from './seen.js';
import { squareOn } from './straighten.js';

const tenth = (x) => Math.round(10 * x) / 10;
/** Measures that were not fitted may be off by this part when they are left unknown. */
const UNKNOWN = 0.15;

export class Photo {
  #points = [];
  #taking = null;
  #held = null;
  #fitted = new Set();

  constructor(home, page) {
    Object.assign(this, { home, page, photo: null, original: null, scale: 0, turn: 0, place: null, flipped: false });
    this.canvas = element('canvas', { id: 'photo-canvas', role: 'img', 'aria-label': 'Your photo with the outline of the connector over it', data: { test: 'photo-canvas' } });
    this.file = element('input', { type: 'file', accept: 'image/*', className: 'hidden', id: 'photo-file', tabIndex: -1, 'aria-label': 'Photo', data: { test: 'photo-file' } });
    const choose = element('button', { type: 'button', className: 'strong', textContent: 'Choose a photo\u2026', data: { test: 'photo-choose' } });
    choose.addEventListener('click', () => this.file.click());
    this.invite = element('div', { className: 'invite' }, [element('p', { textContent: 'Drop a photo here: the connector flat, square on, with a ruler or a card beside it in the same plane.' }), choose]);
    this.name = element('p', { className: 'fit-name', hidden: true });
    this.table = element('div', { className: 'table', id: 'photo-table' }, [this.canvas, this.invite, this.name, this.file]);
    this.handles = new Map();
    this.steps = this.#steps();
    this.#tellTurn();
    home.replaceChildren(element('div', { className: 'desk' }, [this.table, this.steps]));
    this.file.addEventListener('change', () => this.file.files[0] && this.load(this.file.files[0]));
    this.table.addEventListener('dragover', (e) => e.preventDefault());
    this.table.addEventListener('drop', (e) => {
      const [file] = e.dataTransfer.files;
      // What is no picture goes where it belongs (dropping.js).
      if (!file?.type.startsWith('image/')) return;
      e.preventDefault();
      this.load(file);
    });
    this.canvas.addEventListener('pointerdown', (e) => this.#down(e));
    this.canvas.addEventListener('pointermove', (e) => this.#move(e));
    for (const over of ['pointerup', 'pointercancel']) this.canvas.addEventListener(over, () => (this.#held = null));
    page.arrivals.push(whenSeen(this.table, () => this.draw()));
    new ResizeObserver(() => this.draw()).observe(this.table);
  }

  #steps() {
    const number = (id, value, label) => element('input', { type: 'number', id, value, min: 0.1, step: 'any', 'aria-label': label, data: { test: id } });
    const button = (id, text, press) => {
      const made = element('button', { type: 'button', id, textContent: text, data: { test: id } });
      made.addEventListener('click', press);
      return made;
    };
    this.known = number('photo-known', 100, 'Known length between the two points, mm');
    this.wide = number('photo-wide', 85.6, 'Width of the rectangle, mm');
    this.tall = number('photo-tall', 54, 'Height of the rectangle, mm');
    this.angle = element('input', { type: 'range', id: 'photo-turn', min: -180, max: 180, step: 0.5, value: 0, className: 'turn', 'aria-label': 'Turn the photo, degrees', data: { test: 'photo-turn' } });
    this.angle.addEventListener('input', () => {
      this.turn = (Number(this.angle.value) * Math.PI) / 180;
      this.#tellTurn();
      this.draw();
    });
    this.said = element('p', { role: 'status', data: { test: 'photo-status' } });
    this.list = element('ul', { data: { test: 'photo-fitted' } });
    this.turned = element('output', { htmlFor: 'photo-turn' });
    let step = 0;
    const group = (title, children) => element('fieldset', {}, [element('legend', {}, [element('b', { textContent: String(++step) }), title]), ...children]);
    return element('div', { className: 'steps' }, [
      this.said,
      group('How large is it?', [button('photo-scale', 'Click two points', () => this.#take(2, 'Click both ends of something whose length you know.')), element('span', { className: 'size' }, [this.known, 'mm apart'])]),
      group('Not quite square on?', [button('photo-corners', 'Click four corners', () => this.#take(4, 'Click the four corners of a card or sheet that lies in the plane of the connector.')), element('span', { className: 'size' }, [this.wide, '\u00d7', this.tall, 'mm'])]),
      group('Turn it upright', [this.angle, this.turned, button('photo-mirror', 'Mirror', () => {
        this.flipped = !this.flipped;
        this.draw();
      })]),
      group('Make it fit', [element('p', { textContent: 'Drag the outline into place, then its points onto the edges of the photo. Arrow keys move a point by 0.1 mm.' })]),
      this.list,
      group('The rest', [button('photo-unknown', 'Leave what I did not fit unknown', () => this.#leaveUnknown())]),
    ]);
  }

  #tellTurn() {
    fillSlider(this.angle);
    this.turned.textContent = `${this.angle.value}\u00b0`.replace('-', '\u2212');
  }

  async load(file) {
    try {
      const picture = await createImageBitmap(file);
      const shrink = Math.min(1, 2400 / Math.max(picture.width, picture.height));
      const canvas = element('canvas', { width: Math.round(picture.width * shrink), height: Math.round(picture.height * shrink) });
      canvas.getContext('2d', { willReadFrequently: true }).drawImage(picture, 0, 0, canvas.width, canvas.height);
      Object.assign(this, { photo: canvas, original: canvas, scale: 0, turn: 0, place: null });
    } catch {
      this.said.textContent = `${file.name} is not a picture that this browser can read.`;
      return;
    }
    this.angle.value = 0;
    this.#tellTurn();
    this.#fitted.clear();
    this.invite.hidden = true;
    this.table.classList.add('full');
    this.said.textContent = 'Now tell how large it is.';
    this.draw();
  }

  // Clicks are taken as points of the photo until there are enough.
  #take(count, words) {
    if (!this.photo) {
      this.said.textContent = 'A photo first, please.';
      return;
    }
    this.#taking = count;
    this.#points = [];
    this.table.classList.add('points');
    this.said.textContent = words;
    this.draw();
  }

  #taken() {
    const points = this.#points;
    const count = this.#taking;
    this.#taking = null;
    this.table.classList.remove('points');
    if (count === 2) {
      const length = Math.hypot(points[0][0] - points[1][0], points[0][1] - points[1][1]);
      const known = Number(this.known.value);
      if (length > 2 && known > 0) this.scale = length / known;
      this.said.textContent = `The scale is set: ${tenth(this.photo.width / this.scale)} mm across the photo. A click is worth about ${tenth(Math.max(0.1, 1.5 / this.scale))} mm.`;
    } else {
      const made = squareOn(this.photo, points, Number(this.wide.value), Number(this.tall.value));
      if (made) {
        Object.assign(this, { photo: made.canvas, scale: made.scale, place: null });
        this.said.textContent = 'Straightened; the scale is set with it.';
      } else this.said.textContent = 'These four points are no rectangle; try again.';
    }
    this.#points = [];
    this.draw();
  }

  // Photo pixels to page pixels: the photo fitted into the table and turned about its middle.
  #frame() {
    const [w, h] = [this.table.clientWidth, this.table.clientHeight];
    const [c, s] = [Math.cos(this.turn), Math.sin(this.turn)];
    const { width, height } = this.photo;
    const k = Math.min(w / (Math.abs(c) * width + Math.abs(s) * height), h / (Math.abs(s) * width + Math.abs(c) * height));
    return { w, h, k, c, s };
  }

  #toPhoto([x, y]) {
    const { w, h, k, c, s } = this.#frame();
    const [dx, dy] = [(x - w / 2) / k, (y - h / 2) / k];
    const side = c * dx + s * dy;
    return [this.photo.width / 2 + (this.flipped ? -side : side), this.photo.height / 2 - s * dx + c * dy];
  }

  #fromPhoto([x, y]) {
    const { w, h, k, c, s } = this.#frame();
    const [dx, dy] = [(this.flipped ? -1 : 1) * (x - this.photo.width / 2), y - this.photo.height / 2];
    return [w / 2 + k * (c * dx - s * dy), h / 2 + k * (s * dx + c * dy)];
  }

  // Millimetres to page pixels.
  #view() {
    const { w, h, k } = this.#frame();
    const { points } = this.page.scene.bodies.frame;
    let [low, high] = [Infinity, -Infinity];
    for (let i = 1; i < points.length; i += 2) [low, high] = [Math.min(low, points[i]), Math.max(high, points[i])];
    const scale = this.scale ? this.scale * k : (0.62 * h) / (high - low);
    this.place ??= [w / 2, h / 2];
    return { scale, x: this.place[0], y: this.place[1] };
  }

  #at(e) {
    const box = this.table.getBoundingClientRect();
    return [e.clientX - box.left - this.table.clientLeft, e.clientY - box.top - this.table.clientTop];
  }

  #down(e) {
    if (!this.photo) return;
    const at = this.#at(e);
    if (this.#taking) {
      this.#points.push(this.#toPhoto(at));
      if (this.#points.length === this.#taking) this.#taken();
      else this.draw();
      return;
    }
    this.canvas.setPointerCapture(e.pointerId);
    this.#held = { at, place: this.place };
  }

  #move(e) {
    if (!this.#held || !this.photo) return;
    const at = this.#at(e);
    this.place = [0, 1].map((i) => this.#held.place[i] + at[i] - this.#held.at[i]);
    this.draw();
  }

  #set(key, value) {
    const p = this.page.told.parameters.find((q) => q.key === key);
    const [low, high] = p.allowed;
    this.#fitted.add(key);
    this.page.store.change({ [key]: tenth(Math.min(high, Math.max(low, value))) }, { hand: true });
  }

  #handle(point) {
    let handle = this.handles.get(point.key);
    if (!handle) {
      handle = element('div', { className: 'fit', role: 'slider', tabIndex: 0, data: { key: point.key, test: `fit-${point.key}` } });
      let held = null;
      const tell = () => {
        this.name.hidden = false;
        this.name.textContent = `${handle.point.label}: ${tenth(handle.point.value)} mm`;
      };
      handle.addEventListener('pointerdown', (e) => {
        e.preventDefault();
        handle.setPointerCapture(e.pointerId);
        handle.focus({ preventScroll: true });
        held = { at: this.#at(e), value: handle.point.value, along: handle.point.along, scale: this.#view().scale };
      });
      handle.addEventListener('pointermove', (e) => {
        if (!held) return;
        const at = this.#at(e);
        const moved = [(at[0] - held.at[0]) / held.scale, -(at[1] - held.at[1]) / held.scale];
        const [vx, vy] = held.along;
        this.#set(point.key, held.value + (moved[0] * vx + moved[1] * vy) / (vx * vx + vy * vy));
      });
      for (const over of ['pointerup', 'pointercancel']) {
        handle.addEventListener(over, () => {
          held = null;
          this.page.store.rest();
        });
      }
      handle.addEventListener('keydown', (e) => {
        const step = { ArrowUp: 0.1, ArrowRight: 0.1, ArrowDown: -0.1, ArrowLeft: -0.1, PageUp: 1, PageDown: -1 }[e.key];
        if (!step) return;
        e.preventDefault();
        this.#set(point.key, handle.point.value + step);
      });
      handle.addEventListener('focus', tell);
      handle.addEventListener('pointerenter', tell);
      this.handles.set(point.key, handle);
      this.table.append(handle);
    }
    handle.point = point;
    return handle;
  }

  draw() {
    const { photo, page, canvas } = this;
    if (!photo || !page.scene) return;
    const { w, h, k } = this.#frame();
    if (!w) return;
    const ratio = Math.min(2, window.devicePixelRatio || 1);
    canvas.width = Math.round(w * ratio);
    canvas.height = Math.round(h * ratio);
    const context = canvas.getContext('2d');
    context.setTransform(ratio, 0, 0, ratio, 0, 0);
    context.save();
    context.translate(w / 2, h / 2);
    context.rotate(this.turn);
    context.scale(this.flipped ? -k : k, k);
    context.drawImage(photo, -photo.width / 2, -photo.height / 2);
    context.restore();
    const view = this.#view();
    const { scene } = page;
    for (const [width, colour] of [[5, 'rgba(28, 40, 49, 0.75)'], [2.4, '#ffe67e']]) {
      context.strokeStyle = colour;
      context.lineWidth = width;
      for (const name of ['frame', 'gate']) {
        const { points, loops } = scene.bodies[name];
        context.setLineDash(name === 'gate' ? [9, 6] : []);
        context.beginPath();
        for (const loop of loops) {
          loop.forEach((n, i) => context[i ? 'lineTo' : 'moveTo'](view.x + view.scale * points[2 * n], view.y - view.scale * points[2 * n + 1]));
          context.closePath();
        }
        context.stroke();
      }
    }
    context.setLineDash([]);
    for (const p of this.#points.map((q) => this.#fromPhoto(q))) {
      context.beginPath();
      context.arc(...p, 7, 0, 2 * Math.PI);
      context.moveTo(p[0] - 12, p[1]);
      context.lineTo(p[0] + 12, p[1]);
      context.moveTo(p[0], p[1] - 12);
      context.lineTo(p[0], p[1] + 12);
      context.strokeStyle = '#d1431f';
      context.lineWidth = 2.5;
      context.stroke();
    }
    const points = fitPoints(scene.head.used, scene.head.pins, (key) => page.controls.given(key) !== undefined);
    for (const handle of this.handles.values()) handle.hidden = !points.some((p) => p.key === handle.dataset.key);
    for (const point of points) {
      const handle = this.#handle(point);
      handle.style.transform = `translate(${(view.x + view.scale * point.at[0]).toFixed(1)}px, ${(view.y - view.scale * point.at[1]).toFixed(1)}px)`;
      handle.classList.toggle('done', this.#fitted.has(point.key));
      const p = page.told.parameters.find((q) => q.key === point.key);
      for (const [name, value] of Object.entries({ 'aria-label': `${point.label}, mm`, 'aria-valuemin': p.allowed[0], 'aria-valuemax': p.allowed[1], 'aria-valuenow': tenth(point.value), 'aria-valuetext': `${tenth(point.value)} mm` })) handle.setAttribute(name, value);
      if (document.activeElement === handle) this.name.textContent = `${point.label}: ${tenth(point.value)} mm`;
    }
    const fitted = points.filter((p) => this.#fitted.has(p.key));
    this.list.replaceChildren(...fitted.map((p) => element('li', { textContent: `${p.label}: ${tenth(p.value)} mm` })));
  }

  #leaveUnknown() {
    const { used } = this.page.scene.head;
    const changes = {};
    for (const p of this.page.told.parameters) {
      const measured = ['window', 'sections', 'nose', 'gate', 'hinge'].includes(p.group) && p.kind === 'number' && p.unit === 'mm';
      const value = used[p.key];
      if (!measured || this.#fitted.has(p.key) || p.key in this.page.store.state.set || !(value > 0) || this.page.controls.base(p.key) === undefined) continue;
      const range = [1 - UNKNOWN, 1 + UNKNOWN].map((f) => Math.min(p.allowed[1], Math.max(p.allowed[0], Math.round(100 * f * value) / 100)));
      changes[p.key] = `{ between = [${range.join(', ')}] }`;
    }
    this.page.store.change(changes);
    this.said.textContent = `${Object.keys(changes).length} measures are now unknown within ${Math.round(100 * UNKNOWN)} percent either way; the middle is drawn.`;
  }
}
