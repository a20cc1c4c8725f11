// Runs all tests of the page in one engine (PULLMAP_BROWSER): two lanes of groups side by side, then those that want the machine to
// themselves. What fails is tried once more by itself and told: a browser on a busy machine may miss a moment, a defect fails twice.

import { spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { ALONE, LANES } from './groups.mjs';

const TESTS = fileURLToPath(new URL('all.test.mjs', import.meta.url));
const exact = (name) => `^${name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}$`;

/** Runs the tests of some groups, those of these names only if there are names; `{ code, failed }`. What it prints comes in one piece. */
async function run(groups, names = []) {
  const env = { ...process.env, PULLMAP_GROUPS: groups.join() };
  const words = ['--test', '--test-reporter=tap', ...names.map((name) => `--test-name-pattern=${exact(name)}`), TESTS];
  const child = spawn(process.execPath, words, { stdio: ['ignore', 'pipe', 'pipe'], env });
  const closed = new Promise((resolve) => child.on('close', resolve));
  const [printed, failed] = [[], []];
  child.stderr.on('data', (text) => printed.push(String(text).trimEnd()));
  for await (const line of createInterface({ input: child.stdout })) {
    printed.push(line);
    const name = line.match(/^not ok \d+ - (.*)$/)?.[1];
    // Names stand in the report with their # and \ escaped.
    if (name) failed.push(name.replace(/\\([#\\])/g, '$1'));
  }
  const code = await closed;
  console.log(`-- ${groups.join(', ')}\n${printed.join('\n')}`);
  return { code, failed };
}

const first = [...(await Promise.all(LANES.map((groups) => run(groups)))), await run(ALONE)];
const failed = first.flatMap((one) => one.failed);
const broken = first.some((one) => one.code !== 0);
// A run that ended with a fault and names none, or names the file, did not get as far as its tests.
const beyond = first.some((one) => one.code !== 0 && !one.failed.length) || failed.some((name) => name.endsWith('.mjs'));
if (broken && !beyond) {
  console.log(`\nOnce more, by themselves: ${failed.join('; ')}`);
  const second = await run([...LANES.flat(), ...ALONE], failed);
  console.log(second.code ? '\nThey fail again.' : '\nThey pass now.');
  process.exitCode = second.code === 0 ? 0 : 1;
} else {
  process.exitCode = broken ? 1 : 0;
}
