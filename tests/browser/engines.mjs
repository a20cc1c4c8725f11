// The browsers that the page is tested in, and what each of them can.
//
// Chromium and Firefox as Debian ships them. PULLMAP_BROWSER=firefox chooses the second one.

import { mkdtempSync, readdirSync, renameSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, firefox } from 'playwright-core';

const ENGINES = {
  chromium: { path: process.env.CHROMIUM_BIN ?? '/usr/bin/chromium', start: startChromium },
  firefox: { path: process.env.FIREFOX_BIN ?? '/usr/bin/firefox-esr', start: startFirefox },
};

export const ENGINE = process.env.PULLMAP_BROWSER ?? 'chromium';
if (!ENGINES[ENGINE]) throw new Error(`PULLMAP_BROWSER is ${ENGINE}; allowed: ${Object.keys(ENGINES).join(', ')}`);

/** For the options of a test that needs what one engine alone offers to its driver: runs it there, and skips it elsewhere with the reason. */
export const only = (engine, reason) => (ENGINE === engine ? {} : { skip: `${engine} only: ${reason}` });

/** Starts the browser that is chosen, with a profile of its own that asks nobody for anything; `more` words are for Chromium. */
export const browse = (...more) => ENGINES[ENGINE].start(ENGINES[ENGINE].path, more);

function startChromium(executablePath, more) {
  return chromium.launch({
    executablePath,
    args: [...more, '--headless=new', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
  });
}

/** What Firefox is told by its settings, because its driver has no command for it. */
const SETTINGS = {
  // The clipboard is read without a question to whoever sits there.
  'dom.events.testing.asyncClipboard': true,
  'ui.prefersReducedMotion': 1,
};
const SCHEMES = { dark: 0, light: 1 };

/** Firefox of one colour scheme each: the scheme is a setting of the whole browser. */
async function startFirefox(executablePath) {
  const home = mkdtempSync(join(tmpdir(), 'pullmap-downloads-'));
  const launch = (scheme) => firefox.launch({
    channel: 'moz-firefox',
    executablePath,
    downloadsPath: home,
    firefoxUserPrefs: { ...SETTINGS, 'layout.css.prefers-color-scheme.content-override': SCHEMES[scheme] },
  });
  const started = { light: await launch('light') };
  return {
    async newContext({ colorScheme = 'light', reducedMotion, permissions, isMobile, hasTouch, ...options } = {}) {
      started[colorScheme] ??= await launch(colorScheme);
      const context = await started[colorScheme].newContext(options);
      await context.addInitScript(tellOfTraffic);
      return context;
    },
    downloads: home,
    async close() {
      for (const browser of Object.values(started)) await browser.close();
      rmSync(home, { recursive: true, force: true });
    },
  };
}

/** Does what makes the browser save a file, and moves that file into a folder; its path. The folder of Firefox is looked at:
 * its driver does not tell of a file that the page made itself. */
export async function download(browser, page, act, folder, patience = 90000) {
  if (!browser.downloads) {
    const [file] = await Promise.all([page.waitForEvent('download', { timeout: patience }), act()]);
    const path = join(folder, file.suggestedFilename());
    await file.saveAs(path);
    return path;
  }
  // One that is left from before would give the next of its name another name.
  for (const left of readdirSync(browser.downloads)) rmSync(join(browser.downloads, left));
  await act();
  let size = -1;
  for (const end = Date.now() + patience; Date.now() < end; await page.waitForTimeout(50)) {
    // One file at a time is asked for; it is all there when it no longer grows and has no partner that does.
    const [name, ...others] = readdirSync(browser.downloads);
    if (!name || others.length) continue;
    const now = statSync(join(browser.downloads, name)).size;
    if (now > 0 && now === size && !name.endsWith('.part')) {
      renameSync(join(browser.downloads, name), join(folder, name));
      return join(folder, name);
    }
    size = now;
  }
  throw new Error(`nothing was saved within ${patience / 1000} s; in the folder: ${readdirSync(browser.downloads)}`);
}

// Runs in the page: what travels on a standing connection and what is posted, which the driver of Firefox does not see.
function tellOfTraffic() {
  const tell = (...words) => window.pullmapTraffic?.(...words);
  const { fetch } = window;
  window.fetch = (address, options) => {
    if (options?.body) tell('posted', String(options.body));
    return fetch(address, options);
  };
  const Plain = WebSocket;
  window.WebSocket = class extends Plain {
    constructor(...words) {
      super(...words);
      this.addEventListener('message', ({ data }) => tell('received', typeof data === 'string' ? data : null));
      this.addEventListener('close', () => tell('closed', null));
    }

    send(question) {
      tell('sent', question);
      super.send(question);
    }
  };
}
