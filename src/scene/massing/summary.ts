import type { PropertyDocument } from '../records/index.ts';
import { wallLengthM } from './joints.ts';
import { findHoles } from './opening.ts';
import { wallFrame } from './wallFrame.ts';

export interface WallArea {
  wallId: string;
  name: string;
  lengthM: number;
  heightM: number;
  grossM2: number;
  openingsM2: number;
  /** grossM2 − openingsM2. */
  netM2: number;
}

/** Outer areas of every wall as a hand sum has them: length × height, less its openings (cut to the wall; no overlaps). */
export function wallAreaSummary(document: PropertyDocument): WallArea[] {
  const rows: WallArea[] = [];
  for (const building of document.buildings) {
    for (const part of building.parts) {
      if (part.kind !== 'wall') continue;
      const lengthM = wallLengthM(part);
      const grossM2 = lengthM * part.heightM;
      const openingsM2 = findHoles(wallFrame(part)).reduce((sum, h) => sum + (h.s1 - h.s0) * (h.t1 - h.t0), 0);
      rows.push({
        wallId: part.id,
        name: part.name || part.id,
        lengthM,
        heightM: part.heightM,
        grossM2,
        openingsM2,
        netM2: grossM2 - openingsM2,
      });
    }
  }
  return rows;
}
