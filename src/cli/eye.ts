import { eyeReport } from '../review/index.ts';
import { InputError, parseDirection, readCommandLine } from './arguments.ts';
import { pickScheme, readProperty } from './property.ts';
import type { CommandResult } from './result.ts';
import { namedLights, solveScheme } from './solved.ts';
import { figure, textTable } from './table.ts';

/** `gloaming eye`: what an eye at a place receives from each light, with its veil (CIE 146 general equation, p = 0.5). */
export function eye(args: string[]): CommandResult {
  const line = readCommandLine(args, {
    at: 'string',
    look: 'string',
    age: 'string',
    scheme: 'string',
    only: 'string',
    json: 'boolean',
  });
  const document = readProperty(line.positionals[0]);
  const scheme = pickScheme(document, line.text('scheme'));
  const at = line.vec3('at');
  const look = line.vec3('look');
  if (!at) throw new InputError('expected --at x,y,z (metres)');
  if (!look) throw new InputError('expected --look x,y,z, a direction such as 0,0,-1');
  const age = line.number('age', { min: 5, max: 110 }) ?? 35;
  const only = namedLights(document, scheme.id, line.text('only'));
  const report = eyeReport(solveScheme(document, scheme.id), at, parseDirection('--look', look), age, only);
  if (line.flag('json')) return { text: JSON.stringify(report, null, 1), status: 0 };
  const rows = report.byFixture.map((f) => [
    f.id,
    figure(f.eyeIlluminanceLx, 4),
    figure(f.angleFromGazeDeg, 1),
    figure(f.veilingLuminanceCdM2, 5),
    figure(f.transmittance),
  ]);
  return {
    text: [
      `${figure(report.eyeIlluminanceLx, 4)} lx at the eye, veil ${figure(report.veilingLuminanceCdM2, 5)} cd/m² at age ${age}`,
      textTable(['light', 'lx at eye', '° from gaze', 'veil cd/m²', 'transmittance'], rows),
    ].join('\n'),
    status: 0,
  };
}
