// How long the hand waits: from an event of the hand to the picture that contains it, measured in the browser.
//
// Not a timed test: it prints a table for docs/live-latency.md. Run it on a machine that does nothing else.
//
// An event counts from its own time stamp to the first frame after the answer that contains it (or a newer one) was
// drawn, so waiting for a solve that was already on its way is part of it. Three cadences: a hand that moves at the
// screen's rate, nudges so close that findings and limits of the last one may still be on their way, and nudges with the
// page at rest.

import { availableParallelism, cpus, loadavg } from 'node:os';
import { Visit, browse, findings, serve } from './bench.mjs';

const MODEL = 'broadbar-alu';
const FRAME_MS = 1000 / 60;

/** In the page: events of the hand wait for the request that carries them, and that for its picture. */
function watch() {
  const waiting = [];
  window.handLatencies = [];
  const note = (event) => waiting.push(event.timeStamp);
  // The page hears of a moving hand before the frame does; so does this.
  addEventListener('onpointerrawupdate' in window ? 'pointerrawupdate' : 'pointermove', (event) => event.buttons && note(event), true);
  addEventListener('input', note, true);
  let carried = [];
  const { send } = WebSocket.prototype;
  WebSocket.prototype.send = function (question) {
    carried.push(...waiting.splice(0));
    send.call(this, question);
  };
  const { fetch } = window;
  window.fetch = (address, options) => {
    if (String(address).endsWith('/api/solve')) carried.push(...waiting.splice(0));
    return fetch(address, options);
  };
  document.addEventListener('DOMContentLoaded', () => {
    new MutationObserver(() => {
      const done = carried;
      carried = [];
      // After the next frame's callbacks a message comes once that frame is on its way to the screen.
      requestAnimationFrame(() => {
        const { port1, port2 } = new MessageChannel();
        port1.onmessage = () => {
          const now = performance.now();
          window.handLatencies.push(...done.map((t) => now - t));
        };
        port2.postMessage(0);
      });
    }).observe(document.querySelector('#stage'), { attributes: true, attributeFilter: ['data-answer'] });
  });
}

const quantile = (values, q) => [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(q * values.length))];
const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

async function measured(visit, name, target, move) {
  await visit.settled();
  await visit.page.evaluate(() => (window.handLatencies.length = 0));
  await move();
  await visit.settled();
  const times = await visit.page.evaluate(() => window.handLatencies);
  const tell = (q) => quantile(times, q).toFixed(0);
  return `| ${name} | ${times.length} | ${tell(0.5)} | ${tell(0.95)} | ${tell(1)} | ${target} |`;
}

const server = await serve();
const browser = await browse();

/** 0, 1, 2, ... 11, 10, ... -11, -10, ... 0 and so on: each differs from the one before. */
const swing = (i) => 11 - Math.abs(((i + 11) % 44) - 22);

/** A hand on a page of its own in a window of some kind. */
class Hand {
  static async at(options) {
    const visit = new Visit(await browser.newContext(options), server.address);
    await visit.context.addInitScript(watch);
    await visit.load(`${server.address}#v=1&model=${MODEL}`);
    return new Hand(visit);
  }

  constructor(visit) {
    this.visit = visit;
    this.page = visit.page;
  }

  /** There and back along the bar in even steps of 4 pixels, each of more than a tenth of a millimetre. */
  async drag(count, cadence) {
    const { mouse } = this.page;
    const [x, y] = await this.visit.middle('#handle-upper');
    await mouse.move(x, y);
    await mouse.down();
    for (let i = 1; i <= count; i++) {
      const clock = performance.now();
      await mouse.move(x + 4 * swing(i), y);
      await pause(Math.max(0, cadence - (performance.now() - clock)));
    }
    await mouse.move(x, y);
    await mouse.up();
  }

  /** The same drag without waiting for the page between its events, as a hand does not: the driver's own moves come at half the rate. */
  async stream(count, cadence) {
    const [x, y] = await this.visit.middle('#handle-upper');
    const driver = await this.visit.context.newCDPSession(this.page);
    const put = (type, at, buttons) => driver.send('Input.dispatchMouseEvent', { type, x: at, y, button: type === 'mouseMoved' ? 'none' : 'left', buttons, clickCount: 1 });
    await put('mouseMoved', x, 0);
    await put('mousePressed', x, 1);
    const sent = [];
    const began = performance.now();
    for (let i = 1; i <= count; i++) {
      sent.push(put('mouseMoved', x + 4 * swing(i), 1));
      await pause(Math.max(0, began + i * cadence - performance.now()));
    }
    await Promise.all(sent);
    await put('mouseMoved', x, 1);
    await put('mouseReleased', x, 0);
    await driver.detach();
  }

  async slide(key, count, cadence) {
    const slider = (await this.visit.row(key)).locator('input[type="range"]');
    await slider.focus();
    for (let i = 0; i < count; i++) {
      const clock = performance.now();
      await this.page.keyboard.press(i % 20 < 10 ? 'ArrowLeft' : 'ArrowRight');
      await pause(Math.max(0, cadence - (performance.now() - clock)));
    }
  }

  /** Explanations one after another, as long as something else is done. */
  async explaining(what) {
    let over = false;
    const asked = (async () => {
      for (let ticket = 1; !over; ticket++) {
        await this.page.evaluate(async ([at, model]) => {
          const body = JSON.stringify({ version: 2, session: 'latencybench', ticket: at, state: { model, set: {} }, broke_at_kn: 17.2, where: 'lip' });
          await (await fetch('/api/explain', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body })).text();
        }, [ticket, MODEL]);
      }
    })();
    await what();
    over = true;
    await asked;
  }

  /** Frames a second while a strap is dragged: all of them, and those in which it stands elsewhere than in the one before. */
  async frames() {
    await this.visit.settled();
    await this.page.evaluate(() => {
      const strap = document.querySelector('#handle-upper');
      const seen = (window.strapFrames = { all: 0, moved: 0, began: performance.now(), at: '' });
      const look = () => {
        if (window.strapFrames !== seen) return;
        seen.all++;
        if (strap.style.transform !== seen.at) seen.moved++;
        seen.at = strap.style.transform;
        requestAnimationFrame(look);
      };
      requestAnimationFrame(look);
    });
    await this.stream(600, FRAME_MS / 2);
    return this.page.evaluate(() => {
      const { all, moved, began } = window.strapFrames;
      window.strapFrames = null;
      const seconds = (performance.now() - began) / 1000;
      return [all / seconds, moved / seconds];
    });
  }

  slowed(rate) {
    return this.visit.context.newCDPSession(this.page).then((machine) => machine.send('Emulation.setCPUThrottlingRate', { rate }));
  }
}

const rows = [];
const desk = await Hand.at({ viewport: { width: 1440, height: 900 } });
const row = async (hand, name, target, move) => rows.push(await measured(hand.visit, name, target, move));
await desk.drag(60, FRAME_MS);
await row(desk, 'strap dragged, 60 events a second', 50, () => desk.drag(300, FRAME_MS));
const pageMs = await desk.page.locator('#stage').getAttribute('data-frame');
await row(desk, 'strap dragged while an explanation runs', 50, () => desk.explaining(() => desk.drag(300, FRAME_MS)));
await row(desk, 'strap nudged every 250 ms', 50, () => desk.drag(60, 250));
await row(desk, 'strap nudged, page at rest', 50, () => desk.drag(40, 600));
await row(desk, 'notch depth, slider held (30 events a second)', 250, () => desk.slide('nose.notch_depth_mm', 120, 33));
await row(desk, 'notch depth, single steps', 250, () => desk.slide('nose.notch_depth_mm', 30, 600));
await row(desk, 'upper width, single steps', 250, () => desk.slide('window.upper_width_mm', 30, 600));
const [frames, moved] = await desk.frames();
await desk.visit.context.close();
const phone = await Hand.at({ viewport: { width: 390, height: 844 }, deviceScaleFactor: 2 });
await phone.slowed(4);
await phone.drag(60, FRAME_MS);
await row(phone, 'strap dragged in a window of a phone, 390 x 844 at two pixels to a point, four times slowed', 100, () => phone.drag(300, FRAME_MS));
await phone.visit.context.close();
await browser.close();
await server.end();

const { unknowns } = findings(MODEL).mesh;
console.log(`${cpus()[0].model}, ${availableParallelism()} cores, load ${loadavg()[0].toFixed(1)}; ${MODEL}, ${unknowns} unknowns; Chromium without GPU, 1440 x 900\n`);
console.log(`Of a dragged strap's picture the page itself takes ${pageMs} ms: drawing it and the browser's frame with it.`);
console.log(`While it is dragged there are ${frames.toFixed(0)} frames a second, and in ${moved.toFixed(0)} of them it stands elsewhere than before.\n`);
console.log('| what the hand does | events | median, ms | 95th percentile, ms | longest, ms | wanted, 95th |');
console.log('| --- | ---: | ---: | ---: | ---: | ---: |');
console.log(rows.join('\n'));
