import type { LampRecord } from '../../scene/index.ts';
import { backwardShare, turnedOver } from './planes.ts';
import type { Photometry } from './types.ts';

/** Widest and thinnest opening a lamp record holds, metres. */
const MOST_RADIUS_M = 1;

export interface LampFromFile {
  lamp: LampRecord;
  /** What was read, what disagrees, what was taken over from the lamp before. */
  notes: string[];
}

/**
 * A catalogue lamp that shines by a photometric file, for the place of another lamp: what the file does not say (volts,
 * electrical kind, colour) stays as it was. A file with most of its light beyond 90° was measured as it stands, light going
 * up from 0 = straight down: it is turned over, so that its light follows the beam's axis.
 *
 * @param id free in the catalogue.
 */
export function lampFromPhotometry(read: Photometry, id: string, before: LampRecord, fileName: string): LampFromFile {
  const { metadata } = read;
  const turned = backwardShare(read.table) > 0.5;
  const notes = [...read.warnings];
  if (turned) notes.push('Most of its light lies beyond 90°: turned over to follow the beam of this light.');
  const powerW = metadata.inputW;
  if (powerW === undefined || powerW === 0) notes.push(`The file names no watts; ${before.powerW} W kept.`);
  if (metadata.cctK === undefined) notes.push(`The file names no colour; ${before.cctK} K kept.`);
  const radiusM = metadata.openingRadiusM;
  const lamp: LampRecord = {
    ...before,
    id,
    name: (metadata.name || fileName).slice(0, 200),
    distribution: turned ? turnedOver(read.table) : read.table,
    cctK: metadata.cctK ?? before.cctK,
    colourRendering: metadata.colourRendering ?? before.colourRendering,
    powerW: powerW ? Math.min(2000, powerW) : before.powerW,
    lensRadiusM: radiusM === undefined ? before.lensRadiusM : Math.min(MOST_RADIUS_M, radiusM),
  };
  return { lamp, notes };
}
