import { resolve } from 'node:path';
import { defineConfig } from 'vitest/config';
import { ensureKernels } from '../src/cli/checkout.mjs';
import { compiledSources } from './compiledSources.ts';

ensureKernels();

/** Solves and judges every demo property in all its schemes: about as much work as the rest of the node suite. */
export default defineConfig({
  root: resolve(import.meta.dirname, '..'),
  plugins: [compiledSources()],
  test: {
    include: ['tests/demos/**/*.test.ts'],
    environment: 'node',
    testTimeout: 60_000,
    pool: 'threads',
    isolate: false,
  },
});
