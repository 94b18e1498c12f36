import { solvePower } from '../power/index.ts';
import { readCommandLine } from './arguments.ts';
import { pickScheme, readProperty } from './property.ts';
import type { CommandResult } from './result.ts';
import { figure, textTable } from './table.ts';

/** `gloaming power`: the cable solve. Notes of mains stay with a licensed electrician. */
export function power(args: string[]): CommandResult {
  const line = readCommandLine(args, { scheme: 'string', draw: 'string', json: 'boolean' });
  const document = readProperty(line.positionals[0]);
  const scheme = pickScheme(document, line.text('scheme'));
  const drawFactor = line.number('draw', { min: 0.1, max: 10 }) ?? 1;
  const result = solvePower(document, scheme.id, { drawFactor });
  if (line.flag('json')) {
    const { transformers, runs, fixtures, notWired, assumptions } = result;
    return { text: JSON.stringify({ transformers, runs, fixtures, notWired, assumptions }, null, 1), status: 0 };
  }
  const text = [
    textTable(
      ['transformer', 'W', 'VA', 'rating VA', 'load', 'A'],
      result.transformers.map((t) => [
        t.id,
        figure(t.watts, 1),
        figure(t.voltAmperes, 1),
        figure(t.capacityVa, 0),
        t.loadFraction === null ? 'none' : `${(t.loadFraction * 100).toFixed(0)} %`,
        figure(t.amperes),
      ]),
    ),
    textTable(
      ['run', 'A', 'm', 'loss W', 'state'],
      result.runs.map((r) => [
        r.id,
        figure(r.amperes),
        figure(r.lengthM, 1),
        figure(r.lossW),
        r.solved ? 'solved' : 'no steady state',
      ]),
    ),
    textTable(
      ['light', 'V', 'A', 'W', 'V above its start'],
      result.fixtures.map((f) => [f.id, figure(f.volts), figure(f.amperes, 3), figure(f.watts, 1), figure(f.startMarginV)]),
    ),
    result.notWired.length ? `Not wired: ${result.notWired.join(', ')}` : '',
    ...result.assumptions,
  ];
  return { text: text.filter(Boolean).join('\n\n'), status: 0 };
}
