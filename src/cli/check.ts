import type { Finding, Severity } from '../review/index.ts';
import { judgeScheme } from '../worker/index.ts';
import { InputError, readCommandLine } from './arguments.ts';
import { pickScheme, readProperty, withAskedLeaves } from './property.ts';
import type { CommandResult } from './result.ts';
import { solveScheme } from './solved.ts';
import { figure } from './table.ts';

const RANK: Record<Severity, number> = { note: 1, warn: 2, stop: 3 };

/** `gloaming check`: findings and totals; exit 1 when one stands at or above `--fail-on` (stop when not given: never). */
export function check(args: string[]): CommandResult {
  const line = readCommandLine(args, {
    scheme: 'string',
    view: 'string',
    leaves: 'string',
    'fail-on': 'string',
    json: 'boolean',
  });
  const document = withAskedLeaves(readProperty(line.positionals[0]), line);
  const scheme = pickScheme(document, line.text('scheme'));
  const view = line.text('view');
  const failOn = line.text('fail-on');
  if (failOn !== undefined && !(failOn in RANK)) throw new InputError(`--fail-on ${failOn}: expected note, warn or stop`);
  if (view !== undefined && !document.viewpoints.some((v) => v.id === view))
    throw new InputError(
      `--view ${view}: this property has ${document.viewpoints.map((v) => v.id).join(', ') || 'no viewpoints'}`,
    );
  const judged = judgeScheme(solveScheme(document, scheme.id), document, scheme.id);
  const findings = judged.findings.filter((f) => !view || !f.viewpoint || f.viewpoint === view);
  const watts = judged.power.fixtures.reduce((sum, f) => sum + f.watts, 0);
  const solved = judged.power.transformers.map((t) => t.voltAmperes);
  const totals = {
    fixtures: scheme.fixtures.length,
    watts,
    voltAmperes: solved.includes(null) ? null : solved.reduce<number>((sum, v) => sum + (v ?? 0), 0),
  };
  const status = failOn && findings.some((f) => RANK[f.severity] >= RANK[failOn as Severity]) ? 1 : 0;
  if (line.flag('json')) return { text: JSON.stringify({ scheme: scheme.id, totals, findings }, null, 1), status };
  return { text: asText(document.name, scheme.name, totals, findings), status };
}

function asText(
  property: string,
  scheme: string,
  totals: { fixtures: number; watts: number; voltAmperes: number | null },
  findings: Finding[],
): string {
  const count = (s: Severity) => findings.filter((f) => f.severity === s && !f.putOff).length;
  const head = `${property}, ${scheme}: ${totals.fixtures} lights, ${figure(totals.watts, 1)} W, ${figure(totals.voltAmperes, 1)} VA; ${count('stop')} Stop, ${count('warn')} Warn, ${count('note')} Note`;
  if (findings.length === 0) return `${head}\nNothing found with these limits. That is not a certificate.`;
  return [head, ...findings.map((f) => `${f.severity.toUpperCase().padEnd(4)}  ${f.message}`)].join('\n');
}
