import { resolve } from 'node:path';
import { defineConfig } from 'vitest/config';
import { ensureKernels } from '../src/cli/checkout.mjs';
import { compiledSources } from './compiledSources.ts';
import { REFERENCES } from './references.ts';

ensureKernels();

/** Solves and judges every demo property in all its schemes, and compares whole scenes with ray references. */
export default defineConfig({
  root: resolve(import.meta.dirname, '..'),
  plugins: [compiledSources()],
  test: {
    include: ['tests/demos/**/*.test.ts', ...REFERENCES],
    environment: 'node',
    testTimeout: 60_000,
    pool: 'threads',
    isolate: false,
  },
});
