// Fields as wide as what stands in them, in whatever letters the reader has.

const context = document.createElement('canvas').getContext('2d');
/** The fields with the text that they are wide enough for. */
const fitted = new Map();
/** So many widths are kept at most. */
const MOST = 500;
/** Widths of texts in the letters of the fields, pixels. */
const widths = new Map();

function width(field, text) {
  if (widths.size >= MOST) widths.clear();
  if (!widths.size) {
    const { fontWeight, fontSize, fontFamily } = getComputedStyle(field);
    context.font = `${fontWeight} ${fontSize} ${fontFamily}`;
  }
  if (!widths.has(text)) widths.set(text, Math.ceil(context.measureText(text).width));
  return widths.get(text);
}

/** Makes a field wide enough for its text; the style sheet says how narrow and how wide it may be. */
export function fitField(field) {
  if (fitted.get(field) === field.value) return;
  fitted.set(field, field.value);
  field.style.setProperty('--text', `${width(field, field.value)}px`);
}

// The page's own letters have come, or the window has changed and the size of letters with it.
function again() {
  widths.clear();
  for (const field of fitted.keys()) field.style.setProperty('--text', `${width(field, field.value)}px`);
}
document.fonts.addEventListener('loadingdone', again);
addEventListener('resize', again);
