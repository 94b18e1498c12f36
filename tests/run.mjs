// npm test: install what is missing, then format, types, lint, node suite, demo properties, browser suite; ends with "N passed, N failed".
import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { ensureInstalled, ensurePageBuilt, findChromium, run, top } from '../src/cli/checkout.mjs';

let passed = 0;
let failed = 0;

function step(name, action) {
  console.log(`\n== ${name}`);
  const started = performance.now();
  let fine = false;
  try {
    fine = action();
  } catch (error) {
    console.error(error.message);
  }
  console.log(`== ${name}: ${fine ? 'done' : 'FAILED'} (${((performance.now() - started) / 1000).toFixed(1)} s)`);
  if (fine) passed++;
  else failed++;
}

const node = (script, ...args) => run(process.execPath, [join('node_modules', script), ...args]) === 0;
const tool = (name, ...args) => run(join(top, 'node_modules/.bin', name), args) === 0;

/** Runs one vitest suite and adds its tests to the totals; true when none failed. */
function suite(config) {
  const out = join(top, 'tests/.output', `${config}.json`);
  rmSync(out, { force: true });
  mkdirSync(join(top, 'tests/.output'), { recursive: true });
  const status = run(process.execPath, [
    'node_modules/vitest/vitest.mjs',
    'run',
    '--config',
    `.config/${config}.ts`,
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${out}`,
  ]);
  const report = JSON.parse(readFileSync(out, 'utf8'));
  passed += report.numPassedTests;
  failed += report.numFailedTests;
  return status === 0 && report.numPassedTests > 0;
}

/** Chromium from Debian where we are root, else the one command to type. */
function ensureChromium() {
  if (findChromium()) return true;
  if (process.platform === 'linux' && process.getuid?.() === 0) {
    run('apt-get', ['update', '-qq']);
    run('apt-get', ['install', '-y', '-qq', 'chromium']);
  }
  if (findChromium()) return true;
  console.error('The browser suite needs Chromium. On Debian type: sudo apt-get install -y chromium');
  return false;
}

try {
  ensureInstalled();
} catch (error) {
  console.error(error.message);
  console.log('0 passed, 1 failed');
  process.exit(1);
}

step('format', () => tool('biome', 'format', 'src', 'tests'));
step('types', () => node('typescript/bin/tsc', '--noEmit'));
step('lint', () => tool('biome', 'lint', '--error-on-warnings', 'src', 'tests'));
step('node suite', () => suite('vitest.config'));
step('demo properties and ray references', () => suite('vitest.demos.config'));
step('page builds', () => {
  ensurePageBuilt();
  return true;
});
step('browser suite', () => ensureChromium() && suite('vitest.browser.config'));

console.log(`\n${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);
