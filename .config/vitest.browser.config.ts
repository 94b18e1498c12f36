import { resolve } from 'node:path';
import { defineConfig } from 'vitest/config';

/** Drives the built page in headless Chromium through playwright-core; one file at a time, one browser. */
export default defineConfig({
  root: resolve(import.meta.dirname, '..'),
  test: {
    include: ['tests/browser/**/*.test.ts'],
    globalSetup: ['tests/browser/setup.ts'],
    environment: 'node',
    testTimeout: 120_000,
    hookTimeout: 120_000,
    fileParallelism: false,
  },
});
