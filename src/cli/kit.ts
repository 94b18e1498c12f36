import { buildKit, kitCsv } from '../kit/index.ts';
import { readCommandLine } from './arguments.ts';
import { pickScheme, readProperty } from './property.ts';
import type { CommandResult } from './result.ts';
import { textTable } from './table.ts';

/** `gloaming kit`: parts with counts, units and the lights they serve. */
export function kit(args: string[]): CommandResult {
  const line = readCommandLine(args, { scheme: 'string', csv: 'boolean', json: 'boolean' });
  const document = readProperty(line.positionals[0]);
  const scheme = pickScheme(document, line.text('scheme'));
  const list = buildKit(document, scheme.id);
  if (line.flag('csv')) return { text: kitCsv(list), status: 0 };
  if (line.flag('json')) return { text: JSON.stringify(list, null, 1), status: 0 };
  const table = textTable(
    ['part', 'quantity', 'unit', 'used by'],
    list.parts.map((p) => [p.description, p.quantity, p.unit, p.usedBy.join(' ')]),
  );
  return { text: [table, ...list.cautions].join('\n\n'), status: 0 };
}
