// The records of the bench: what the commands trace, log and lot tell, in one place of the page.

import { Dropping } from './dropping.js';
import { TraceDrop } from './trace_drop.js';

const $ = (id) => document.getElementById(id);

export class Records {
  constructor(page) {
    this.page = page;
    this.trace = new TraceDrop($('trace'), page);
    this.dropping = new Dropping(page, this.trace);
  }
}
