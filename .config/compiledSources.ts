import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, renameSync, rmSync, statSync } from 'node:fs';
import { join, relative, resolve } from 'node:path';
import { buildSync } from 'esbuild';
import type { Plugin } from 'vite';

const top = resolve(import.meta.dirname, '..');
const sources = join(top, 'src');
const kept = join(top, '.cache/tests');
/** Folders that run in Node as they are: no React, no DOM, no page build. */
const FOLDERS = ['units', 'materials', 'scene', 'exposure', 'lights', 'power', 'review', 'kit', 'worker', 'editor', 'cli'];
const DAY_MS = 24 * 3600 * 1000;

/**
 * Gives the tests the sources compiled to plain modules that Node loads itself. The test runner's own modules reach every
 * imported name through a getter, which costs the loops of the solver a third to a half of their speed; and each test file
 * would evaluate all of them again. Compiled once for one state of the sources; names, lines and instances stay the same.
 */
export function compiledSources(): Plugin {
  const out = compile();
  return {
    name: 'compiled-sources',
    enforce: 'pre',
    resolveId(id, importer) {
      if (!importer || !id.startsWith('.') || !id.endsWith('.ts')) return null;
      const path = relative(sources, resolve(importer, '..', id));
      if (!FOLDERS.includes(path.split(/[\\/]/)[0]!)) return null;
      const compiled = join(out, path.replace(/\.ts$/, '.js'));
      return existsSync(compiled) ? { id: compiled, external: true } : null;
    },
  };
}

function compile(): string {
  const entries = FOLDERS.flatMap((folder) => typescriptIn(join(sources, folder)));
  const hash = createHash('sha256');
  for (const path of [join(top, 'package-lock.json'), join(sources, 'lights/kernels/wasmBytes.mjs'), ...entries]) {
    const { mtimeMs, size } = statSync(path);
    hash.update(`${path} ${mtimeMs} ${size}\n`);
  }
  const out = join(kept, hash.digest('hex').slice(0, 16));
  if (existsSync(out)) return out;
  mkdirSync(kept, { recursive: true });
  for (const name of readdirSync(kept)) {
    if (statSync(join(kept, name)).mtimeMs < Date.now() - DAY_MS) rmSync(join(kept, name), { recursive: true, force: true });
  }
  const making = `${out}.${process.pid}`;
  buildSync({
    entryPoints: entries,
    outdir: making,
    outbase: sources,
    bundle: true,
    splitting: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    packages: 'external',
    sourcemap: 'linked',
    logLevel: 'error',
  });
  // Another run may have made the same at the same time.
  if (existsSync(out)) rmSync(making, { recursive: true });
  else renameSync(making, out);
  return out;
}

function typescriptIn(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && !name.endsWith('.d.ts') && !/(^|[\\/])assembly[\\/]/.test(name))
    .sort()
    .map((name) => join(folder, name));
}
