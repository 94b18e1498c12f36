import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { demoFolder } from './demoSuite.ts';

it('every demo property has a test file of its own', () => {
  const tested = readdirSync(import.meta.dirname)
    .filter((name) => name.endsWith('.test.ts'))
    .flatMap((name) => [...readFileSync(join(import.meta.dirname, name), 'utf8').matchAll(/^demoSuite\('([^']+)'\)/gm)])
    .map((match) => match[1]);
  expect(tested.sort()).toEqual(readdirSync(demoFolder).sort());
});
