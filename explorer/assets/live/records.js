// The records of the bench: what the commands trace, log and lot tell, in one place of the page.

import { Dropping } from './dropping.js';
import { RecordForecast } from './record_forecast.js';
import { RecordLot } from './record_lot.js';
import { RecordPulls } from './record_pulls.js';
import { TraceDrop } from './trace_drop.js';

const $ = (id) => document.getElementById(id);

export class Records {
  constructor(page) {
    this.page = page;
    page.records = this;
    this.trace = new TraceDrop($('trace'), page);
    this.pulls = new RecordPulls($('pulls'), page);
    this.forecast = new RecordForecast($('record-forecast'), page);
    this.lot = new RecordLot($('lot'), page);
    this.dropping = new Dropping(page);
  }
}
