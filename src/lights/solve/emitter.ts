import { type Beam, compileBeam, type FixtureFrame, fixtureFrame } from '../beam.ts';
import type { LampRecord } from '../../scene/index.ts';
import type { BounceHit } from '../bounce/types.ts';
import type { Caster } from '../rays/index.ts';
import { type EmitterShape, emitterShape } from '../shapes/shape.ts';
import type { Source } from '../types.ts';

/** A source as the solver sees it: where, how wide a lens, which way, how strong. */
export interface Emitter {
  id: string;
  /** Centre of the luminous opening. */
  at: Float64Array;
  /** r of E = I·cosθ/(d² + r²): the disc's radius, half a strip's width, 0 for a globe (inverse square from its centre). */
  lensRadiusM: number;
  /** Size that softens shadow edges: as `lensRadiusM`, for a globe its radius. */
  edgeRadiusM: number;
  shape: EmitterShape;
  frame: FixtureFrame;
  beam: Beam;
  /** Half angle to half of the peak, radians: how fine the beam's own structure is. */
  halfAngleRad: number;
  /** Records it was made from, and everything of them that counts. */
  fixture: Source['fixture'];
  lamp: Source['lamp'];
  recordKey: string;
  /** Same key = same visibility. */
  placeKey: string;
  /** Same key as well = same layer. */
  aimKey: string;
}

/** An opening this little under a surface shines from the surface (in-grade lights). */
const SUNK_M = 0.03;
/** How far in front of the opening the surface behind it is looked for from. */
const RIM_START_M = 0.02;

/** Compiled beams by lamp, lens and shield. */
export type BeamCache = Map<string, Beam>;

/**
 * Makes the emitter of a source, or gives back `before` when the records say the same.
 * @throws {RangeError} the aim equals the place.
 */
export function createEmitter(source: Source, caster: Caster, beams: BeamCache, before?: Emitter): Emitter {
  const { fixture, lamp } = source;
  if (before && before.fixture === fixture && before.lamp === lamp) return before;
  const beamKey = distributionKey(lamp.distribution) + JSON.stringify([fixture.lens, fixture.shield]);
  const shape = emitterShape(source);
  const recordKey = JSON.stringify([fixture.at, fixture.aim, fixture.rollDeg, lamp.lensRadiusM, shape]) + beamKey;
  if (before?.recordKey === recordKey) return Object.assign(before, { fixture, lamp });
  let beam = beams.get(beamKey);
  if (!beam) {
    beam = compileBeam(lamp.distribution, fixture.lens, fixture.shield);
    beams.set(beamKey, beam);
  }
  const frame = fixtureFrame(fixture);
  const at = Float64Array.from(fixture.at);
  liftToSurface(at, frame, caster);
  const lensRadiusM = shape.kind === 'globe' ? 0 : lamp.lensRadiusM;
  const edgeRadiusM = shape.kind === 'globe' ? shape.radiusM : lensRadiusM;
  clearRim(at, lensRadiusM, frame, caster);
  const placeKey = `${at.join()},${edgeRadiusM}`;
  return {
    id: source.id,
    at,
    lensRadiusM,
    edgeRadiusM,
    shape,
    frame,
    beam,
    halfAngleRad: halfAngle(beam),
    fixture,
    lamp,
    recordKey,
    placeKey,
    aimKey: `${placeKey}|${frame.join()}|${beamKey}`,
  };
}

/** Keys of distributions met before; a large table is turned into text once, not for every light that uses it. */
const keys = new WeakMap<LampRecord['distribution'], string>();

/** Same figures, same key: the figures themselves, or for a table a 64-bit sum over its text (FNV-1a, two halves). */
function distributionKey(distribution: LampRecord['distribution']): string {
  const known = keys.get(distribution);
  if (known !== undefined) return known;
  const text = JSON.stringify(distribution);
  const key = distribution.kind === 'table' ? `table ${text.length} ${fnv(text, 0x811c9dc5)} ${fnv(text, 0x01234567)}` : text;
  keys.set(distribution, key);
  return key;
}

function fnv(text: string, seed: number): number {
  let sum = seed;
  for (let i = 0; i < text.length; i++) sum = Math.imul(sum ^ text.charCodeAt(i), 0x01000193);
  return sum >>> 0;
}

function liftToSurface(at: Float64Array, frame: FixtureFrame, caster: Caster): void {
  const hit: BounceHit = { distanceM: 0, face: -1, s: 0, t: 0, fromFront: true };
  if (!caster.nearest(at[0]!, at[1]!, at[2]!, frame[0]!, frame[1]!, frame[2]!, SUNK_M, hit)) return;
  if (hit.face < 0 || hit.fromFront) return;
  for (let k = 0; k < 3; k++) at[k]! += frame[k]! * (hit.distanceM + 0.001);
}

/**
 * Lifts a tilted opening off the surface it lies in, so that none of its disc (radius r) is buried: its centre stands at
 * least r·sin(tilt) above that surface. A flush in-grade light shines whole.
 */
function clearRim(at: Float64Array, radiusM: number, frame: FixtureFrame, caster: Caster): void {
  if (radiusM === 0) return;
  const hit: BounceHit = { distanceM: 0, face: -1, s: 0, t: 0, fromFront: true };
  const back = [-frame[0]!, -frame[1]!, -frame[2]!] as const;
  const start = at.map((value, k) => value + RIM_START_M * frame[k]!);
  if (!caster.nearest(start[0]!, start[1]!, start[2]!, ...back, RIM_START_M + radiusM, hit) || hit.face < 0) return;
  const n = caster.scene.faces[hit.face]!.normal;
  const cosTilt = n[0] * frame[0]! + n[1] * frame[1]! + n[2] * frame[2]!;
  if (!hit.fromFront || cosTilt <= 0) return;
  const clearM = (hit.distanceM - RIM_START_M) * cosTilt;
  const wantedM = radiusM * Math.sqrt(Math.max(0, 1 - cosTilt * cosTilt)) + 0.001;
  if (clearM < wantedM) for (let k = 0; k < 3; k++) at[k]! += n[k]! * (wantedM - clearM);
}

function halfAngle(beam: Beam): number {
  let k = 0;
  while (k < beam.steps && beam.largestBeyond[k]! > beam.peakCd / 2) k++;
  const q = (k / beam.steps) * Math.SQRT2;
  return Math.max(0.01, Math.acos(Math.max(-1, 1 - q * q)));
}
