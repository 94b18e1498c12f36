import { readdirSync, readFileSync, statSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';

const src = resolve(import.meta.dirname, '../src');

/** Folders from low to high: each may import from those before it, and from itself. */
const ORDER = [
  'units',
  'materials',
  'scene',
  'exposure',
  'lights',
  'power',
  'review',
  'kit',
  'lessons',
  'worker',
  'editor',
  'files',
  'view',
  'ui',
];
const PURE = new Set(['units', 'materials', 'scene', 'exposure', 'lights', 'power', 'review', 'kit', 'lessons']);
/** The command line stands beside the page and may use the pure folders and the judging of the worker folder. */
const CLI_MAY = new Set([...PURE, 'worker', 'cli']);

interface Import {
  from: string;
  to: string;
  folder: string;
  target: string;
  typeOnly: boolean;
}

function files(folder: string): string[] {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name);
    if (statSync(path).isDirectory()) return files(path);
    return /\.(ts|tsx|mjs)$/.test(name) && !name.endsWith('.d.mts') ? [path] : [];
  });
}

const all = files(src);
const folderOf = (path: string) => relative(src, path).split('/')[0]!;
const imports: Import[] = [];
const packages: { from: string; name: string }[] = [];
for (const path of all) {
  const text = readFileSync(path, 'utf8');
  for (const match of text.matchAll(
    /(?:^|\n)\s*(?:import|export)\s+(type\s)?(?:[^'"();]*?\sfrom\s+)?['"]([^'"]+)['"]|import\(\s*['"]([^'"]+)['"]\s*\)/g,
  )) {
    const name = match[2] ?? match[3]!;
    if (!name.startsWith('.')) packages.push({ from: path, name });
    else {
      const target = resolve(dirname(path), name.replace(/\?.*$/, ''));
      if (target.startsWith(src))
        imports.push({ from: path, to: target, folder: folderOf(path), target: folderOf(target), typeOnly: Boolean(match[1]) });
    }
  }
}

describe('structure of src', () => {
  it('reads the imports at all', () => {
    expect(imports.length).toBeGreaterThan(100);
    expect(packages.length).toBeGreaterThan(10);
  });

  it('keeps the direction of folders', () => {
    const wrong = imports
      .filter((i) => i.folder !== i.target)
      .filter((i) =>
        i.folder === 'cli'
          ? !CLI_MAY.has(i.target)
          : ORDER.indexOf(i.target) < 0 || ORDER.indexOf(i.target) > ORDER.indexOf(i.folder),
      )
      .map((i) => `${relative(src, i.from)} → ${relative(src, i.to)}`);
    expect(wrong).toEqual([]);
  });

  it('enters another folder by its face only', () => {
    const wrong = imports
      .filter((i) => i.folder !== i.target && !i.to.endsWith(join(i.target, 'index.ts')) && !/Worker\.ts$/.test(i.to))
      .map((i) => `${relative(src, i.from)} → ${relative(src, i.to)}`);
    expect(wrong).toEqual([]);
  });

  it('keeps the pure folders free of React, DOM libraries and three', () => {
    const wrong = packages
      .filter((p) => PURE.has(folderOf(p.from)) && !/^(zod|node:)/.test(p.name))
      .map((p) => `${relative(src, p.from)} imports ${p.name}`);
    expect(wrong).toEqual([]);
  });

  it('has no circular imports', () => {
    const edges = new Map<string, string[]>();
    for (const i of imports) if (!i.typeOnly) edges.set(i.from, [...(edges.get(i.from) ?? []), i.to]);
    const state = new Map<string, 'open' | 'done'>();
    const cycles: string[] = [];
    const visit = (path: string, trail: string[]) => {
      if (state.get(path) === 'done') return;
      if (state.get(path) === 'open') {
        cycles.push([...trail.slice(trail.indexOf(path)), path].map((p) => relative(src, p)).join(' → '));
        return;
      }
      state.set(path, 'open');
      for (const next of edges.get(path) ?? []) visit(next, [...trail, path]);
      state.set(path, 'done');
    };
    for (const path of all) visit(path, []);
    expect(cycles).toEqual([]);
  });

  it('keeps files under about 400 lines', () => {
    const long = all
      .map((path) => ({ path: relative(src, path), lines: readFileSync(path, 'utf8').split('\n').length }))
      .filter((f) => f.lines > 420);
    expect(long).toEqual([]);
  });
});
