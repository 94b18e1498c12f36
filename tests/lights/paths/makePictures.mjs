// node tests/lights/paths/makePictures.mjs PROPERTY SECONDS: adds paths to the kept reference of a demo property for so long (0: none), then draws docs/proof-PROPERTY.png and prints the figures.
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { buildSync } from 'esbuild';
import { ensureInstalled, ensureKernels, top } from '../../../src/cli/checkout.mjs';

ensureInstalled();
ensureKernels();
const outfile = join(top, '.cache/pictures/makePictures.mjs');
const entryPoints = [join(import.meta.dirname, 'makePictures.ts')];
buildSync({ entryPoints, outfile, bundle: true, platform: 'node', format: 'esm', packages: 'external', logLevel: 'error' });
const { addPaths, proof } = await import(pathToFileURL(outfile).href);
const [property, seconds] = process.argv.slice(2);
addPaths(property, Number(seconds ?? 0));
proof(property);
