// Pictures of the page for the documents: three windows in both themes, a small phone, a phone that lies, a desk at twice the
// size, the page on paper (pdftoppm), and the one of the README. `node pictures.mjs FOLDER`.
//
// They are written with a palette (pngquant) where that is installed: a third of the size, and the eye sees no difference.

import { spawnSync } from 'node:child_process';
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { Visit, browse, serve } from './bench.mjs';

const [home = '.'] = process.argv.slice(2);
const WIDTHS = { phone: [390, 844], tablet: [820, 1180], wide: [1600, 1000] };
/** In one theme. The last stands for 1440 x 900 at 200 %. */
const MORE = { small: [[320, 640], 2], lying: [[844, 390], 2], 'twice-as-large': [[720, 450], 2] };
const STATE = '#v=1&model=broadbar-alu&rig.upper.offset_mm=5&rig.lower.offset_mm=5';

function write(path) {
  const done = spawnSync('pngquant', ['--force', '--speed', '1', '--strip', '--output', path, '256', '--', path]);
  if (done.error) console.warn(`${path} keeps its full size: pngquant is not installed`);
}

const server = await serve();
const browser = await browse();

async function picture(path, [width, height], colorScheme, deviceScaleFactor = 1) {
  const visit = await Visit.open(browser, server.address, { viewport: { width, height }, colorScheme, deviceScaleFactor }, STATE);
  await visit.page.screenshot({ path });
  write(path);
  return visit;
}

for (const colorScheme of ['light', 'dark']) {
  for (const [name, size] of Object.entries(WIDTHS)) {
    const visit = await picture(join(home, `live-${name}-${colorScheme}.png`), size, colorScheme);
    if (process.env.WHOLE) {
      // Scrolled through once, so that what is drawn when it is seen is there.
      for (const id of ['compare', 'what-if', 'forecast', 'explain', 'photo']) await visit.page.locator(`#${id}`).scrollIntoViewIfNeeded();
      await visit.settled();
      await visit.page.screenshot({ path: join(home, `whole-${name}-${colorScheme}.png`), fullPage: true });
    }
    await visit.context.close();
  }
}
for (const [name, [size, dots]] of Object.entries(MORE)) {
  const visit = await picture(join(home, `live-${name}.png`), size, 'light', dots);
  await visit.context.close();
}
const visit = await picture(join(home, 'live-page.png'), [1440, 900], 'light');
const paper = join(home, 'live-paper');
await visit.page.pdf({ path: `${paper}.pdf`, format: 'A4' });
const drawn = spawnSync('pdftoppm', ['-png', '-r', '110', '-singlefile', `${paper}.pdf`, paper]);
rmSync(`${paper}.pdf`);
if (drawn.error) console.warn(`${paper}.png is missing: pdftoppm is not installed`);
else write(`${paper}.png`);
await visit.context.close();
await browser.close();
await server.end();
