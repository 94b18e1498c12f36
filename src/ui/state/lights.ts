import { findLamp, lightNumber } from '../../editor/index.ts';
import { type Act, cautionOf } from '../../kit/index.ts';
import { beamFigures, distributionFluxLm } from '../../lights/index.ts';
import { type FixtureRecord, groundHeightAt, type LampRecord, type PropertyDocument } from '../../scene/index.ts';

/** Number of a light on screen as text; a light of the property itself goes by its id. */
export function numberText(document: PropertyDocument, schemeId: string, id: string): string {
  return String(lightNumber(document, schemeId, id) ?? id);
}

export function lampOf(document: PropertyDocument, fixture: FixtureRecord): LampRecord | undefined {
  return findLamp(document, fixture.lampId);
}

/** Full beam angle in degrees, of a measured table to the degree. */
export function beamDegrees({ distribution }: LampRecord): number {
  return distribution.kind === 'model' ? distribution.beamAngleFullDeg : Math.round(beamFigures(distribution).beamAngleFullDeg);
}

/** Lumens of a lamp, of a measured table those of its candela. */
export const lampLumens = ({ distribution }: LampRecord): number =>
  distribution.kind === 'model' ? distribution.fluxLm : Math.round(distributionFluxLm(distribution));

/** "450 lm, 24°, 5.5 W, 2700 K"; a measured table says so. */
export function lampWords(lamp: LampRecord | undefined): string {
  if (!lamp) return 'lamp missing from the catalogue';
  const light = `${lampLumens(lamp)} lm, ${beamDegrees(lamp)}°${lamp.distribution.kind === 'table' ? ' from file' : ''}`;
  return `${light}, ${lamp.powerW} W, ${lamp.cctK} K`;
}

/** State in words on the leader: off, dimmed, locked. */
export function stateWords(fixture: FixtureRecord): string {
  const words = [];
  if (!fixture.on) words.push('off');
  else if (fixture.dim < 1) words.push(`${Math.round(fixture.dim * 100)} %`);
  if (fixture.locks.place || fixture.locks.aim || fixture.locks.lamp) words.push('locked');
  return words.join(', ');
}

/** Cautions that belong to one light's mount and height, said where the act is. */
export function mountCautions(document: PropertyDocument, fixture: FixtureRecord): string[] {
  const heightM = fixture.at[1] - groundHeightAt(document, fixture.at[0], fixture.at[2]);
  const acts: Act[] = [];
  if (fixture.mount === 'tree') acts.push('treeMount');
  if (fixture.mount === 'gutter' || heightM > 3) acts.push('height');
  if (heightM > 6) acts.push('greatHeight');
  if (fixture.mount === 'inGrade') acts.push('heat');
  return acts.map(cautionOf);
}
