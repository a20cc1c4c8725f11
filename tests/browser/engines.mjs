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

/** All tests in both engines (`bash tests/run.sh --whole`), else the second one leaves out what hardly hangs on an engine. */
export const WHOLE = process.env.PULLMAP_WHOLE === '1';

/** For the options of a test that would find the same in every engine, by what it asks: skips it in the second one but in the whole run. */
export const alike = WHOLE || ENGINE === 'chromium' ? {} : { skip: 'as in the first engine; the whole run has it here too' };

/** Starts the browser that is chosen, with a profile of its own that asks nobody for anything; `letters`: their size that its reader has chosen. */
export const browse = ({ letters = 16 } = {}) => ENGINES[ENGINE].start(ENGINES[ENGINE].path, letters);

function startChromium(executablePath, letters) {
  return chromium.launch({
    executablePath,
    args: [`--blink-settings=defaultFontSize=${letters}`, '--headless=new', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
  });
}

/** What Firefox is told by its settings, because its driver has no command for it. */
const SETTINGS = {
  // The clipboard is read without a question to whoever sits there.
  'dom.events.testing.asyncClipboard': true,
  'ui.prefersReducedMotion': 1,
};
const SCHEMES = { dark: 0, light: 1 };
/** Colours of the reader's own: 2, whatever a page wants. */
const FORCED = { 'browser.display.document_color_use': 2, 'browser.display.use_system_colors': true };

/** Firefox of one colour scheme each, forced or not: they are settings of the whole browser. */
async function startFirefox(executablePath, letters) {
  const home = mkdtempSync(join(tmpdir(), 'pullmap-downloads-'));
  const launch = (scheme, forced) => firefox.launch({
    channel: 'moz-firefox',
    executablePath,
    downloadsPath: home,
    firefoxUserPrefs: { ...SETTINGS, ...(forced ? FORCED : {}), 'font.size.variable.x-western': letters, 'layout.css.prefers-color-scheme.content-override': SCHEMES[scheme] },
  });
  const started = { light: await launch('light', false) };
  return {
    async newContext({ colorScheme = 'light', forcedColors = 'none', reducedMotion, permissions, isMobile, hasTouch, ...options } = {}) {
      const forced = forcedColors === 'active';
      const which = forced ? `${colorScheme}, forced` : colorScheme;
      started[which] ??= await launch(colorScheme, forced);
      const context = await started[which].newContext(options);
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

/** Shows the page as it is on paper, or as it is on a screen again. The driver of Firefox cannot: there the page's own rules are turned round. */
export async function onPaper(page, paper) {
  if (ENGINE === 'chromium') return page.emulateMedia({ media: paper ? 'print' : null });
  return page.evaluate((on) => {
    const rules = [...document.styleSheets].flatMap((sheet) => [...sheet.cssRules]).filter((rule) => rule instanceof CSSMediaRule);
    for (const rule of rules) {
      if (on && /^print/.test(rule.media.mediaText)) [rule.printed, rule.media.mediaText] = [rule.media.mediaText, rule.media.mediaText.replace('print', 'screen')];
      else if (!on && rule.printed) rule.media.mediaText = rule.printed;
    }
  }, paper);
}

/** Millimetres of a paper. */
const PAPER = { A4: [210, 297], Letter: [215.9, 279.4] };
/** The driver of Firefox hands inches over as centimetres. */
const LENGTH = ENGINE === 'firefox' ? 2.54 : 1;

/** The page printed on a paper, as a PDF. */
export function print(page, paper) {
  const [width, height] = PAPER[paper].map((mm) => `${mm * LENGTH}mm`);
  return page.pdf({ width, height });
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
