import { cpSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import type { TestProject } from 'vitest/node';
import { chromiumArgs, ensurePageBuilt, findChromium, serveFolder, top } from '../../src/cli/checkout.mjs';

declare module 'vitest' {
  export interface ProvidedContext {
    /** Address of the built page, with a slash at its end. */
    pageUrl: string;
    /** Where the one Chromium of the suite listens. */
    browserWs: string;
  }
}

/** Builds the page, serves a copy of it (a rebuild beside the suite changes nothing), and starts one Chromium for all files. */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const executablePath = findChromium();
  if (!executablePath) throw new Error('no Chromium found; on Debian: apt-get install chromium, or set GLOAMING_CHROMIUM');
  ensurePageBuilt();
  const copy = join(top, 'tests/.output/app');
  rmSync(copy, { recursive: true, force: true });
  cpSync(join(top, 'dist/app'), copy, { recursive: true });
  const server = await serveFolder(copy);
  const browser = await chromium.launchServer({ executablePath, args: chromiumArgs });
  project.provide('pageUrl', server.url);
  project.provide('browserWs', browser.wsEndpoint());
  return async () => {
    await browser.close();
    await server.close();
  };
}
