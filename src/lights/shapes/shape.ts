import type { Vec3 } from '../../scene/index.ts';
import { fixtureFrame } from '../beam.ts';
import type { Source } from '../types.ts';
import { isPart } from './parts.ts';

/** Shape of a source to the solver: a disc, an even globe, or one straight part of a line with its ends' half vector. */
export type EmitterShape = { kind: 'disc' } | { kind: 'globe'; radiusM: number } | { kind: 'line'; half: Vec3 };

/** Shape of a source, or of one part of a line. */
export function emitterShape(source: Source): EmitterShape {
  const shape = source.lamp.emitter;
  if (shape?.kind === 'globe') return { kind: 'globe', radiusM: shape.radiusM };
  if (shape?.kind !== 'line') return { kind: 'disc' };
  const lengthM = isPart(source) ? source.part.lengthM : shape.lengthM;
  const F = fixtureFrame(source.fixture);
  return { kind: 'line', half: [(F[3]! * lengthM) / 2, (F[4]! * lengthM) / 2, (F[5]! * lengthM) / 2] };
}
