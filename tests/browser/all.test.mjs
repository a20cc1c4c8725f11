// The live page in a real browser, Chromium or (PULLMAP_BROWSER=firefox) Firefox. One server and one browser for all; each test
// has a page and a profile of its own.

import { after, before } from 'node:test';
import { asking } from './asking.mjs';
import { browse, serve } from './bench.mjs';
import { everyone } from './everyone.mjs';
import { fitting } from './fitting.mjs';
import { keeping } from './keeping.mjs';
import { looking } from './looking.mjs';
import { moving } from './moving.mjs';
import { paper } from './paper.mjs';
import { photo } from './photo.mjs';
import { sharing } from './sharing.mjs';
import { stale } from './stale.mjs';
import { storm } from './storm.mjs';
import { telling } from './telling.mjs';
import { trouble } from './trouble.mjs';

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

moving(bench);
looking(bench);
asking(bench);
photo(bench);
sharing(bench);
keeping(bench);
telling(bench);
everyone(bench);
stale(bench);
trouble(bench);
fitting(bench);
paper(bench);
storm(bench);
