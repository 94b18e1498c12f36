import { readFileSync } from 'node:fs';
import type { LightModel, PointLight } from '../lights/index.ts';
import type { CommandLine } from './arguments.ts';
import { InputError, parseDirection, parseVec3, readCommandLine } from './arguments.ts';
import { pickScheme, readProperty, withAskedLeaves } from './property.ts';
import type { CommandResult } from './result.ts';
import { namedLights, solveScheme } from './solved.ts';
import { figure, textTable } from './table.ts';

type Point = { at: [number, number, number]; normal: [number, number, number] };

/** `gloaming light`: illuminance at points by rays of their own, never the atlas. */
export function light(args: string[]): CommandResult {
  const line = readCommandLine(args, {
    at: 'string',
    normal: 'string',
    points: 'string',
    scheme: 'string',
    only: 'string',
    leaves: 'string',
    'with-sky': 'boolean',
    stats: 'boolean',
    json: 'boolean',
  });
  const document = withAskedLeaves(readProperty(line.positionals[0]), line);
  const scheme = pickScheme(document, line.text('scheme'));
  const points = askedPoints(line);
  const only = namedLights(document, scheme.id, line.text('only'));
  const model = solveScheme(document, scheme.id);
  const results = points.map((p) => reading(model, p, only, line.flag('with-sky')));
  const solve = { ...model.stats };
  const asked = line.text('points') ? { points: results } : results[0];
  if (line.flag('json')) return { text: JSON.stringify(line.flag('stats') ? { ...asked, solve } : asked, null, 1), status: 0 };
  const texts = results.map(asText);
  return { text: [...texts, ...(line.flag('stats') ? [statsText(solve)] : [])].join('\n\n'), status: 0 };
}

/** What the solve of the field took: for the curious, and to see what a change costs. */
function statsText(s: LightModel['stats']): string {
  const ms = (value: number): string => `${Math.round(value)} ms`;
  return textTable(
    ['solve', ''],
    [
      ['sources', String(s.sources)],
      ['tiles', `${s.tiles} (${s.tilesLeftCoarse} left coarse for want of room)`],
      ['samples', String(s.samples)],
      ['rays', String(s.rays)],
      ['memory', `${figure(s.bytes / 1e6)} MB`],
      ['left out as too weak', `${figure(s.droppedFluxLm)} lm`],
      ['direct light', ms(s.directMs)],
      ['bounces', ms(s.bounceMs)],
      ['settling', ms(s.mixMs)],
    ],
  );
}

function askedPoints(line: CommandLine): Point[] {
  const file = line.text('points');
  if (file) return readPoints(file);
  const at = line.vec3('at');
  if (!at) throw new InputError('expected --at x,y,z (metres), or --points FILE.csv');
  const normal = line.vec3('normal');
  if (!normal) throw new InputError('expected --normal x,y,z, for example 0,0,1 for a front');
  return [{ at, normal: parseDirection('--normal', normal) }];
}

/** Lines `x,y,z,nx,ny,nz`; a first line of words and blank lines are passed over. */
function readPoints(file: string): Point[] {
  let text: string;
  try {
    text = readFileSync(file, 'utf8');
  } catch {
    throw new InputError(`--points ${file}: cannot be read`);
  }
  const points: Point[] = [];
  text.split(/\r?\n/).forEach((row, i) => {
    if (!row.trim() || (i === 0 && /[a-df-z]/i.test(row))) return;
    const cells = row.split(',');
    if (cells.length !== 6)
      throw new InputError(`--points ${file} line ${i + 1}: expected six numbers x,y,z,nx,ny,nz, found ${cells.length}`);
    const where = `--points ${file} line ${i + 1}:`;
    points.push({
      at: parseVec3(where, cells.slice(0, 3).join(',')),
      normal: parseDirection(where, parseVec3(where, cells.slice(3).join(','))),
    });
  });
  if (points.length === 0) throw new InputError(`--points ${file}: no points in it`);
  return points;
}

function reading(model: LightModel, point: Point, only: readonly string[] | undefined, sky: boolean) {
  const found: PointLight = model.exactAt(point.at, point.normal, { ...(only ? { only } : {}), sky });
  const { totalLx, directLx, bouncedLx, skyLx, windowsLx, bySource } = found;
  return {
    illuminanceLx: totalLx,
    directLx,
    bouncedLx,
    ...(sky ? { skyLx, windowsLx } : {}),
    byFixture: bySource.map((s) => ({ id: s.id, directLx: s.directLx, bouncedLx: s.bouncedLx })),
  };
}

function asText(r: ReturnType<typeof reading>): string {
  const head = `${figure(r.illuminanceLx)} lx: direct ${figure(r.directLx)}, bounced ${figure(r.bouncedLx)}`;
  const ambient = r.skyLx === undefined ? '' : `, sky ${figure(r.skyLx)}, windows ${figure(r.windowsLx)}`;
  const rows = [...r.byFixture]
    .sort((a, b) => b.directLx + b.bouncedLx - a.directLx - a.bouncedLx)
    .map((f) => [f.id, figure(f.directLx), figure(f.bouncedLx)]);
  return `${head}${ambient}\n${textTable(['light', 'direct lx', 'bounced lx'], rows)}`;
}
