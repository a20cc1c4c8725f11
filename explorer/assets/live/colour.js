// Colour scales, even to the eye, the same as those of the printed maps (viz/src/colour.rs).
//
// A scale is a smooth curve through a few anchors in OKLab (B. Ottosson 2020), walked at constant speed: one step of
// stress is one step of colour anywhere on the ruler.

const GLOW = [0x102138, 0x1a4776, 0x5159a3, 0xac69a3, 0xe58074, 0xfab25a, 0xffe67e];
const PUSH = [0xfbfaf7, 0xb4d3ea, 0x65a2d3, 0x236da8, 0x083a68];
const PULL = [0xfbfaf7, 0xfbc896, 0xe38a43, 0xab5413, 0x642a05];

/** Entries of a table; odd, so that the middle of the two-sided scale is an entry. */
export const ENTRIES = 1025;

const toLinear = (v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
const toByte = (v) => {
  const c = Math.min(1, Math.max(0, v));
  return Math.round(255 * (c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055));
};
const times = (m, v) => m.map((r) => r[0] * v[0] + r[1] * v[1] + r[2] * v[2]);

const TO_CONES = [
  [0.4122214708, 0.5363325363, 0.0514459929],
  [0.2119034982, 0.6806995451, 0.1073969566],
  [0.0883024619, 0.2817188376, 0.6299787005],
];
const CONES_TO_LAB = [
  [0.2104542553, 0.793617785, -0.0040720468],
  [1.9779984951, -2.428592205, 0.4505937099],
  [0.0259040371, 0.7827717662, -0.808675766],
];
const LAB_TO_CONES = [
  [1, 0.3963377774, 0.2158037573],
  [1, -0.1055613458, -0.0638541728],
  [1, -0.0894841775, -1.291485548],
];
const FROM_CONES = [
  [4.0767416621, -3.3077115913, 0.2309699292],
  [-1.2684380046, 2.6097574011, -0.3413193965],
  [-0.0041960863, -0.7034186147, 1.707614701],
];

function oklab(hex) {
  const rgb = [hex >> 16, (hex >> 8) & 255, hex & 255].map((c) => toLinear(c / 255));
  return times(CONES_TO_LAB, times(TO_CONES, rgb).map(Math.cbrt));
}

function bytes(lab) {
  return times(FROM_CONES, times(LAB_TO_CONES, lab).map((v) => v * v * v)).map(toByte);
}

// Catmull-Rom through evenly spaced knots, ends extended straight.
function curve(knots, t) {
  const last = knots.length - 1;
  const i = Math.min(Math.floor(t * last), last - 1);
  const u = t * last - i;
  const [p1, p2] = [knots[i], knots[i + 1]];
  return p1.map((_, c) => {
    const p0 = i === 0 ? 2 * p1[c] - p2[c] : knots[i - 1][c];
    const p3 = i + 2 > last ? 2 * p2[c] - p1[c] : knots[i + 2][c];
    const [a, b, d] = [0.5 * (p2[c] - p0), 0.5 * (p3 - p1[c]), p2[c] - p1[c]];
    return p1[c] + u * (a + u * (3 * d - 2 * a - b + u * (a + b - 2 * d)));
  });
}

function walk(anchors, count) {
  const FINE = 4096;
  const knots = anchors.map(oklab);
  const points = Array.from({ length: FINE + 1 }, (_, i) => curve(knots, i / FINE));
  const along = [0];
  for (let i = 1; i <= FINE; i++) {
    along.push(along[i - 1] + Math.hypot(...points[i].map((v, c) => v - points[i - 1][c])));
  }
  let i = 0;
  return Array.from({ length: count }, (_, k) => {
    const wanted = (along[FINE] * k) / (count - 1);
    while (i + 1 < FINE && along[i + 1] < wanted) i++;
    const part = Math.min(1, Math.max(0, (wanted - along[i]) / (along[i + 1] - along[i])));
    return bytes(points[i].map((v, c) => v + part * (points[i + 1][c] - v)));
  });
}

function table(rows) {
  const packed = new Uint32Array(rows.length);
  // Canvas pixels are R, G, B, A in memory: the low byte first on every machine with a browser.
  rows.forEach(([r, g, b], i) => (packed[i] = ((255 << 24) | (b << 16) | (g << 8) | r) >>> 0));
  return { packed, rows };
}

const half = (ENTRIES - 1) / 2 + 1;

/** From ink to warm yellow, for stresses that have no sign. */
export const glow = table(walk(GLOW, ENTRIES));
/** Blue for push, white for nothing, orange for pull. */
export const twoSided = table([...walk(PUSH, half).reverse(), ...walk(PULL, half).slice(1)]);

/** A CSS colour of a scale at t, 0 to 1. */
export function css(scale, t) {
  const i = Math.round(Math.min(1, Math.max(0, t)) * (ENTRIES - 1));
  return `rgb(${scale.rows[i].join(' ')})`;
}

/** Smallest 1, 2, 2.5, 3, 4, 5, 6, 8 times a power of ten that is at least x. */
export function roundUp(x) {
  if (!(x > 0 && Number.isFinite(x))) return 1;
  const power = 10 ** Math.floor(Math.log10(x));
  return [1, 2, 2.5, 3, 4, 5, 6, 8, 10].map((m) => m * power).find((v) => v >= x * (1 - 1e-12)) ?? 10 * power;
}

/**
 * The range that the colours span for stresses that reach `peak` (MPa): somewhat past yield when the peak is near it,
 * otherwise up to the peak, so that a light load is not all ink.
 */
export function span(peak, yieldMpa, signed) {
  const high = peak > 0.7 * yieldMpa ? Math.min(1.6 * yieldMpa, Math.max(1.12 * yieldMpa, peak)) : roundUp(peak);
  return { low: signed ? -high : 0, high, scale: signed ? twoSided : glow };
}
