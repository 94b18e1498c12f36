#!/usr/bin/env node
// The command line: builds its bundle on first use, then runs it.
import { pathToFileURL } from 'node:url';
import { ensureBundled, ensureInstalled } from './checkout.mjs';

try {
  ensureInstalled();
  const bundle = await ensureBundled('src/cli/main.ts', 'gloaming');
  const { main } = await import(pathToFileURL(bundle).href);
  process.exitCode = await main(process.argv.slice(2));
} catch (error) {
  console.error(`gloaming: ${error instanceof Error ? error.message : error}`);
  process.exitCode = 2;
}
