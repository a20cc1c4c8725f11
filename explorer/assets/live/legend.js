// The legend, drawn as a measuring ruler in MPa beside its colours, with the yield stress marked on it.

import { css } from './colour.js';

const STRIP = 0.3;

function steps({ low, high }) {
  const least = (high - low) / 8;
  const power = 10 ** Math.floor(Math.log10(Math.max(least, 1e-9)));
  const [lead, parts] = [[1, 10], [2, 4], [5, 5], [10, 10]].find(([m]) => m * power >= least * (1 - 1e-12)) ?? [10, 10];
  return { step: lead * power, parts };
}

// Where the ruler's body stands: a yield beyond the range has a torn-off piece above, stresses past an end a mark there.
function body({ high, past = [] }, yieldMpa, { x, y, w, h }, size) {
  const stub = yieldMpa > high ? 4.3 * size : 0;
  const [below, above] = [0, 1].map((end) => (past[end] === undefined || past[end] === null ? 0 : 1.7 * size));
  return { x, top: y + stub + above, w, h: h - stub - above - below, stub };
}

/**
 * Marks the ends of the ruler that stresses go past: a point in the colour of that end, and how far they go. Drawn with each
 * picture, the ruler only when it changes.
 */
export function pastMarks(context, span, yieldMpa, area, size, family, ink) {
  const { x, top, w, h } = body(span, yieldMpa, area, size);
  const strip = STRIP * w;
  for (const [mpa, edge, away, end] of [[span.past[0], top + h, 1, 0], [span.past[1], top, -1, 1]]) {
    if (mpa === null) continue;
    context.beginPath();
    context.moveTo(x + 0.1 * strip, edge + 0.3 * size * away);
    context.lineTo(x + 0.9 * strip, edge + 0.3 * size * away);
    context.lineTo(x + 0.5 * strip, edge + 1.3 * size * away);
    context.closePath();
    context.fillStyle = css(span.scale, end);
    context.fill();
    context.strokeStyle = ink;
    context.lineWidth = 1.5;
    context.stroke();
    context.font = `700 ${size}px ${family}`;
    context.fillStyle = ink;
    context.textAlign = 'left';
    context.textBaseline = 'middle';
    context.fillText(pastWords(mpa, decimalsOf(span)), x + strip + 0.2 * size, edge + 0.8 * size * away, w - strip - 0.2 * size);
  }
}

/** A value on a ruler with so many decimals. */
const onRuler = (value, decimals) => value.toFixed(decimals).replace('-', '\u2212');

/** So many decimals the values of a ruler have: no two of its marks are told alike. */
const decimalsOf = (span) => Math.max(0, -Math.floor(Math.log10(steps(span).step) + 1e-9));

/** How far stresses go past an end, or what else the ruler shows, with so many decimals. */
export const pastWords = (value, decimals = 0) => `to ${onRuler(value, decimals)}`;

/** Draws the ruler in `area` {x, y, w, h}; `size` is the size of type. */
export function ruler(context, span, yieldMpa, area, size, family) {
  const font = (weight) => `${weight} ${size}px ${family}`;
  const beyond = yieldMpa > span.high;
  const { x, top, w, h, stub } = body(span, yieldMpa, area, size);
  const pad = 0.9 * size;
  const strip = STRIP * w;
  const yOf = (mpa) => top + h - pad - ((mpa - span.low) / (span.high - span.low)) * (h - 2 * pad);
  context.save();
  const wood = context.createLinearGradient(x, 0, x + w, 0);
  for (const [t, c] of [[0, '#f3e6c8'], [0.7, '#fbf3df'], [1, '#efe0be']]) wood.addColorStop(t, c);
  const ink = '#1c2831';
  const accent = '#0d6b66';
  const piece = (path) => {
    context.fillStyle = wood;
    context.fill(path);
    context.strokeStyle = ink;
    context.lineWidth = 1.5;
    context.stroke(path);
  };
  const mark = (y) => {
    const middle = x + strip + (w - strip) / 2 + 2;
    context.strokeStyle = accent;
    context.lineWidth = 3;
    context.beginPath();
    context.moveTo(x - 6, y);
    context.lineTo(x + w, y);
    context.stroke();
    context.fillStyle = accent;
    context.font = font(700);
    context.textAlign = 'center';
    context.textBaseline = 'bottom';
    context.fillText('yield', middle, y - 0.2 * size);
    context.textBaseline = 'top';
    context.fillText(yieldMpa.toFixed(0), middle, y + 0.35 * size);
  };
  if (beyond) {
    const torn = new Path2D();
    torn.moveTo(x, area.y + stub - 0.9 * size);
    torn.lineTo(x, area.y + 5);
    torn.quadraticCurveTo(x, area.y, x + 5, area.y);
    torn.lineTo(x + w - 5, area.y);
    torn.quadraticCurveTo(x + w, area.y, x + w, area.y + 5);
    for (let i = 0; i <= 6; i++) torn.lineTo(x + w - (i / 6) * w, area.y + stub - (i % 2 ? 1.3 : 0.9) * size);
    piece(torn);
    mark(area.y + 1.35 * size);
  }
  const whole = new Path2D();
  whole.roundRect(x, top, w, h, 6);
  piece(whole);
  context.save();
  context.clip(whole);
  const colours = context.createLinearGradient(0, yOf(span.low), 0, yOf(span.high));
  for (let i = 0; i <= 32; i++) colours.addColorStop(i / 32, css(span.scale, i / 32));
  context.fillStyle = colours;
  context.fillRect(x, top, strip, h);
  context.restore();
  const { step, parts } = steps(span);
  const decimals = decimalsOf(span);
  context.strokeStyle = ink;
  context.fillStyle = ink;
  context.font = font(400);
  context.textAlign = 'left';
  context.textBaseline = 'middle';
  const small = step / parts;
  for (let i = Math.ceil(span.low / small); i <= span.high / small + 1e-9; i++) {
    const y = yOf(i * small);
    const long = i % parts === 0;
    context.lineWidth = long ? 1.6 : 1;
    context.beginPath();
    context.moveTo(x + strip, y);
    context.lineTo(x + strip + (long ? 0.28 : parts % 2 === 0 && i % (parts / 2) === 0 ? 0.2 : 0.12) * (w - strip), y);
    context.stroke();
    if (long && (beyond || Math.abs(y - yOf(yieldMpa)) > 1.9 * size)) {
      context.fillText(onRuler(i * small, decimals), x + strip + 0.33 * (w - strip), y, 0.62 * (w - strip));
    }
  }
  if (!beyond && yieldMpa > 0) mark(yOf(yieldMpa));
  context.strokeStyle = ink;
  context.lineWidth = 1.5;
  context.stroke(whole);
  context.restore();
}
