// Runs all tests of the page in one engine (PULLMAP_BROWSER). What fails is tried once more by itself and told: a browser on a busy
// machine may miss a moment, a defect fails twice.

import { spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

const TESTS = fileURLToPath(new URL('all.test.mjs', import.meta.url));
const exact = (name) => `^${name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}$`;

/** Runs the tests of these names, or all of them; `{ code, failed }`. */
async function run(names) {
  const child = spawn(process.execPath, ['--test', '--test-reporter=tap', ...names.map((name) => `--test-name-pattern=${exact(name)}`), TESTS], { stdio: ['ignore', 'pipe', 'inherit'] });
  const failed = [];
  for await (const line of createInterface({ input: child.stdout })) {
    console.log(line);
    const name = line.match(/^not ok \d+ - (.*)$/)?.[1];
    // Names stand in the report with their # and \ escaped.
    if (name) failed.push(name.replace(/\\([#\\])/g, '$1'));
  }
  const code = child.exitCode ?? (await new Promise((resolve) => child.on('close', resolve)));
  return { code, failed };
}

const first = await run([]);
if (first.code && first.failed.length && !first.failed.some((name) => name.endsWith('.mjs'))) {
  console.log(`\nOnce more, by themselves: ${first.failed.join('; ')}`);
  const second = await run(first.failed);
  console.log(second.code ? '\nThey fail again.' : '\nThey pass now.');
  process.exitCode = second.code;
} else {
  process.exitCode = first.code;
}
