import { readFileSync, statSync } from 'node:fs';
import { basename } from 'node:path';
import { checkPhotometrySize, type Photometry, PhotometryError, readPhotometry } from '../lights/index.ts';
import { InputError, readCommandLine } from './arguments.ts';
import type { CommandResult } from './result.ts';
import { figure, textTable } from './table.ts';

/** `gloaming photometry`: what an LM-63 or EULUMDAT file holds, and whether it agrees with itself. */
export function photometry(args: string[]): CommandResult {
  const line = readCommandLine(args, { json: 'boolean' });
  const path = line.positionals[0];
  if (!path) throw new InputError('expected a file: gloaming photometry FILE.ies or FILE.ldt');
  const read = readFile(path);
  if (line.flag('json')) return { text: JSON.stringify(asJson(read), null, 1), status: 0 };
  return { text: asText(read), status: 0 };
}

function readFile(path: string): Photometry {
  try {
    checkPhotometrySize(statSync(path).size);
    return readPhotometry(readFileSync(path), basename(path));
  } catch (error) {
    if (error instanceof PhotometryError) throw new InputError(`${path}: ${error.message}`);
    const code = (error as NodeJS.ErrnoException).code;
    if (code === 'ENOENT') throw new InputError(`${path}: no such file`);
    if (code === 'EISDIR') throw new InputError(`${path}: a folder, not a file`);
    if (code) throw new InputError(`${path}: cannot be read (${code})`);
    throw error;
  }
}

function asJson(read: Photometry) {
  const { fluxLm, declaredFluxLm, peakCd, beamAngleFullDeg, fieldAngleFullDeg, warnings } = read;
  return { fluxLm, declaredFluxLm: declaredFluxLm ?? null, peakCd, beamAngleFullDeg, fieldAngleFullDeg, warnings };
}

function asText(read: Photometry): string {
  const declared = read.declaredFluxLm === undefined ? 'none (absolute photometry)' : `${figure(read.declaredFluxLm)} lm`;
  const rows = [
    ['format', read.format],
    ['name', read.metadata.name || '-'],
    ['flux of the candela', `${figure(read.fluxLm)} lm`],
    ['flux in the header', declared],
    ['peak', `${figure(read.peakCd)} cd`],
    ['beam angle, full', `${figure(read.beamAngleFullDeg)}°`],
    ['field angle, full', `${figure(read.fieldAngleFullDeg)}°`],
  ];
  return [textTable(['what', 'figure'], rows), ...read.warnings].join('\n');
}
