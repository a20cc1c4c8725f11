// Pictures of the page for the documents: three widths, both themes. `node pictures.mjs FOLDER`.

import { join } from 'node:path';
import { Visit, browse, serve } from './bench.mjs';

const [home = '.'] = process.argv.slice(2);
const WIDTHS = { phone: [390, 844], tablet: [900, 1180], wide: [1600, 1000] };

const server = await serve();
const browser = await browse();
for (const colorScheme of ['light', 'dark']) {
  for (const [name, [width, height]] of Object.entries(WIDTHS)) {
    const visit = await Visit.open(browser, server.address, { viewport: { width, height }, colorScheme }, '#v=1&model=broadbar-alu&rig.upper.offset_mm=5&rig.lower.offset_mm=5');
    await visit.page.screenshot({ path: join(home, `live-${name}-${colorScheme}.png`) });
    if (process.env.WHOLE) {
      // Scrolled through once, so that what is drawn when it is seen is there.
      for (const id of ['compare', 'what-if', 'forecast', 'explain', 'photo']) await visit.page.locator(`#${id}`).scrollIntoViewIfNeeded();
      await visit.settled();
      await visit.page.screenshot({ path: join(home, `whole-${name}-${colorScheme}.png`), fullPage: true });
    }
    await visit.context.close();
  }
}
await browser.close();
await server.end();
