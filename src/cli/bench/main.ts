import { readFileSync } from 'node:fs';
import { cpus, loadavg, totalmem } from 'node:os';
import { join } from 'node:path';
import { parseProperty } from '../../scene/index.ts';
import { top } from '../checkout.mjs';
import { benchLarge } from './large.ts';
import { benchPage } from './page.ts';
import { benchRays } from './rays.ts';
import { benchSolve, benchWorkers } from './solve.ts';

const DEMO = 'demo/brick-two-storey/brick-two-storey.property.json';

/** Runs the parts asked for and prints one figure a key, medians; what was not measured is absent. */
export async function bench(args: string[]): Promise<void> {
  const json = args.includes('--json');
  const asked = args.includes('--only')
    ? (args[args.indexOf('--only') + 1] ?? '').split(',')
    : ['solve', 'workers', 'large', 'rays', 'page'];
  const runs = args.includes('--runs') ? Number(args[args.indexOf('--runs') + 1]) : 3;
  const parsed = parseProperty(readFileSync(join(top, DEMO), 'utf8'));
  if (!parsed.ok) throw new Error(`${DEMO}: ${parsed.errors[0]?.reason}`);
  const figures: Record<string, number> = {};
  if (asked.includes('solve')) Object.assign(figures, benchSolve(parsed.document, runs));
  if (asked.includes('workers')) Object.assign(figures, await benchWorkers(parsed.document, runs));
  if (asked.includes('large')) Object.assign(figures, benchLarge(parsed.document));
  if (asked.includes('rays')) Object.assign(figures, benchRays(parsed.document));
  if (asked.includes('page')) Object.assign(figures, await benchPage(parsed.document, runs));
  const machine = {
    processor: cpus()[0]?.model ?? 'unknown',
    cores: cpus().length,
    memoryGb: Math.round(totalmem() / 2 ** 30),
    node: process.version,
    loadAverage: Number(loadavg()[0]!.toFixed(2)),
  };
  if (json) console.log(JSON.stringify({ ...figures, machine }, null, 1));
  else {
    console.log(`${machine.processor}, ${machine.cores} cores, Node ${machine.node}, load ${machine.loadAverage}`);
    for (const [key, value] of Object.entries(figures)) console.log(`${key.padEnd(24)} ${value.toFixed(value < 20 ? 2 : 0)}`);
  }
}
