// The live page in a real browser, Chromium or (PULLMAP_BROWSER=firefox) Firefox. One server and one browser for all; each test
// has a page and a profile of its own. PULLMAP_GROUPS=moving,looking runs these groups only.

import { after, before } from 'node:test';
import { browse, serve } from './bench.mjs';
import { GROUPS } from './groups.mjs';

const bench = {};
before(async () => {
  bench.server = await serve();
  bench.address = bench.server.address;
  bench.browser = await browse();
});
after(async () => {
  await bench.browser?.close();
  await bench.server?.end();
});

const wanted = process.env.PULLMAP_GROUPS?.split(',') ?? Object.keys(GROUPS);
for (const name of wanted) {
  if (!GROUPS[name]) throw new Error(`PULLMAP_GROUPS has ${name}; allowed: ${Object.keys(GROUPS).join(', ')}`);
  GROUPS[name](bench);
}
