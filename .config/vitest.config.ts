import { resolve } from 'node:path';
import { defineConfig } from 'vitest/config';
import { ensureKernels } from '../src/cli/checkout.mjs';
import { compiledSources } from './compiledSources.ts';
import { REFERENCES } from './references.ts';

ensureKernels();

export default defineConfig({
  root: resolve(import.meta.dirname, '..'),
  plugins: [compiledSources()],
  test: {
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    exclude: ['tests/browser/**', 'tests/demos/**', 'tests/.output/**', ...REFERENCES],
    environment: 'node',
    testTimeout: 60_000,
    pool: 'threads',
    // No test replaces a module or a global: one worker keeps what it has loaded and warmed for its next file.
    isolate: false,
  },
});
