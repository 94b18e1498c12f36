// Builds the light kernels (AssemblyScript) into a module that carries them as hexadecimal digits (bytes stay aligned, so the page compresses them well), when their sources have changed.
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

const FOLDER = 'src/lights/kernels';
/** Git leaves this file out; `wasmBytes.d.mts` beside it says its type. */
const OUT = `${FOLDER}/wasmBytes.mjs`;
const FLAGS = '-O3 --converge --noAssert --runtime stub --enable simd --disableWarning 112 --disableWarning 201'.split(' ');

/** Makes `wasmBytes.mjs` if it is missing or made from other sources or another compiler; costs a hash otherwise. */
export function ensureKernels(top) {
  const compiler = join(top, 'node_modules/assemblyscript');
  const sources = readdirSync(join(top, FOLDER, 'assembly'))
    .sort()
    .map((name) => join(top, FOLDER, 'assembly', name));
  const hash = createHash('sha256').update(readFileSync(join(compiler, 'package.json')));
  const recipe = [join(top, 'src/cli/kernels.mjs'), join(top, FOLDER, 'layout.ts')];
  for (const path of [...recipe, ...sources]) hash.update(readFileSync(path));
  const stamp = `// Built from assembly/ (sha256 ${hash.digest('hex')}); do not edit.\n`;
  const out = join(top, OUT);
  if (existsSync(out) && readFileSync(out, 'utf8').startsWith(stamp)) return;
  const folder = join(top, '.cache');
  mkdirSync(folder, { recursive: true });
  const wasm = join(folder, `kernels-${process.pid}.wasm`);
  const entry = join(FOLDER, 'assembly/index.ts');
  const made = spawnSync(process.execPath, [join(compiler, 'bin/asc.js'), entry, '--outFile', wasm, ...FLAGS], {
    cwd: top,
    stdio: ['ignore', 2, 2],
  });
  if (made.status !== 0) throw new Error('the light kernels could not be built; see the lines above');
  const text = `${stamp}export const WASM_HEX =\n  '${readFileSync(wasm).toString('hex')}';\n`;
  // Others may build at the same time: the last whole file stands.
  writeFileSync(`${out}.${process.pid}`, text);
  renameSync(`${out}.${process.pid}`, out);
  rmSync(wasm);
}
