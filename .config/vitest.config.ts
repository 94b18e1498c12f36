import { resolve } from 'node:path';
import { defineConfig } from 'vitest/config';
import { ensureKernels } from '../src/cli/checkout.mjs';

ensureKernels();

export default defineConfig({
  root: resolve(import.meta.dirname, '..'),
  test: {
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    exclude: ['tests/browser/**', 'tests/demos/**'],
    environment: 'node',
    testTimeout: 60_000,
    pool: 'threads',
  },
});
