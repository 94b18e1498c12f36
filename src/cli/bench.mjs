// npm run bench: medians with the machine's facts; `-- --json` for the keys of the speed table, `-- --only solve,page` for parts.
import { pathToFileURL } from 'node:url';
import { ensureBundled, ensureInstalled } from './checkout.mjs';

ensureInstalled();
const bundle = await ensureBundled('src/cli/bench/main.ts', 'bench');
const { bench } = await import(pathToFileURL(bundle).href);
await bench(process.argv.slice(2));
