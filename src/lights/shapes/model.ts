import type { SceneModel, Vec3 } from '../../scene/index.ts';
import { createLightModel as createPointModel, type LightModelOptions } from '../model.ts';
import type { EyeLight, LightModel, PointLight, Source } from '../types.ts';
import { clearanceOf, linePartsOf } from './parts.ts';

/** What a line was split into, and from what. */
interface Split {
  key: string;
  scene: SceneModel;
  clearanceM: number;
  source: Source;
  partLengthM: number;
  ids: string[];
}

interface Globe {
  at: Vec3;
  radiusM: number;
}

/**
 * The light model with sources of any shape: lines are solved as parts with their own places and shadows, and every answer
 * speaks of the source again, not of its parts. `stats.sources` counts sources, `stats.tiles` and layers count parts.
 *
 * The field's error against the exact line is at most 1 % beyond half its length and 5 % at a quarter; nearer surfaces get
 * more parts, up to 24. Globes shine by inverse square from their centre, which is exact outside an even sphere.
 * @see tests/lights/lineGlobe.test.ts
 */
export function createLightModel(scene: SceneModel, options: LightModelOptions = {}): LightModel {
  const model = createPointModel(scene, options);
  const inner = { ...bound(model) };
  let splits = new Map<string, Split>();
  let globes = new Map<string, Globe>();
  const idsOf = (id: string): readonly string[] => splits.get(id)?.ids ?? [id];

  return Object.assign(model, {
    setSources(sources: Source[], conditions: Parameters<LightModel['setSources']>[1]): void {
      const next = new Map<string, Split>();
      const nextGlobes = new Map<string, Globe>();
      const castM = (from: Vec3, direction: Vec3, maxM: number) => inner.cast(from, direction, maxM)?.distanceM;
      const all = sources.flatMap((source) => {
        const shape = source.lamp.emitter;
        if (shape?.kind === 'globe') nextGlobes.set(source.id, { at: source.fixture.at, radiusM: shape.radiusM });
        if (shape?.kind !== 'line') return [source];
        const { at, aim, rollDeg } = source.fixture;
        const key = JSON.stringify([at, aim, rollDeg, shape.lengthM]);
        const before = splits.get(source.id);
        const clearanceM =
          before?.key === key && before.scene === model.scene
            ? before.clearanceM
            : clearanceOf(source.fixture, shape.lengthM, castM);
        const parts = linePartsOf(source, shape.lengthM, clearanceM);
        next.set(source.id, {
          key,
          scene: model.scene,
          clearanceM,
          source,
          partLengthM: parts[0]!.part.lengthM,
          ids: parts.map((p) => p.id),
        });
        return parts;
      });
      splits = next;
      globes = nextGlobes;
      inner.setSources(all, conditions);
      model.stats.sources = sources.length;
    },
    sampleLayer: (id: string, face: number, s: number, t: number): number =>
      idsOf(id).reduce((sum, part) => sum + inner.sampleLayer(part, face, s, t), 0),
    exactAt(at: Vec3, normal: Vec3, how?: Parameters<LightModel['exactAt']>[2]): PointLight {
      const asked = how?.only ? { ...how, only: how.only.flatMap((id) => [...idsOf(id)]) } : how;
      const light = inner.exactAt(at, normal, asked);
      return splits.size === 0 ? light : { ...light, bySource: joinPoints(light.bySource) };
    },
    eyeLight(at: Vec3, gaze: Vec3): EyeLight[] {
      return joinEyes(inner.eyeLight(at, gaze), splits).map((light) => {
        const globe = globes.get(light.id);
        return globe ? { ...light, luminanceCdM2: globeLuminance(light, globe, at) } : light;
      });
    },
    fluxOf(id: string): ReturnType<LightModel['fluxOf']> {
      const parts = idsOf(id).map((part) => inner.fluxOf(part));
      const sum = (key: keyof ReturnType<LightModel['fluxOf']>): number => parts.reduce((all, p) => all + p[key], 0);
      return {
        emittedLm: sum('emittedLm'),
        surfacesLm: sum('surfacesLm'),
        leavesLm: sum('leavesLm'),
        skyLm: sum('skyLm'),
        nearLostLm: sum('nearLostLm'),
      };
    },
  });
}

/** The calls that are wrapped, as the point model has them. */
function bound({ setSources, sampleLayer, exactAt, eyeLight, fluxOf, cast }: LightModel) {
  return { setSources, sampleLayer, exactAt, eyeLight, fluxOf, cast };
}

const ownerOf = (id: string): string => id.split('#')[0]!;

function joinPoints(parts: PointLight['bySource']): PointLight['bySource'] {
  const out = new Map<string, PointLight['bySource'][number]>();
  for (const part of parts) {
    const id = ownerOf(part.id);
    const sum = out.get(id) ?? { ...part, id, directLx: 0, bouncedLx: 0 };
    sum.directLx += part.directLx;
    sum.bouncedLx += part.bouncedLx;
    out.set(id, sum);
  }
  return [...out.values()];
}

/** L = I/(πR²) of an even globe, from what it brings to the eye. */
function globeLuminance({ eyeIlluminanceLx, transmittance }: EyeLight, { at, radiusM }: Globe, eye: Vec3): number {
  if (transmittance <= 0) return 0;
  const d2 = (at[0] - eye[0]) ** 2 + (at[1] - eye[1]) ** 2 + (at[2] - eye[2]) ** 2;
  return (eyeIlluminanceLx * d2) / (transmittance * Math.PI * radiusM * radiusM);
}

/**
 * Parts of a line as one: illuminance summed; the angle is that of a point which veils as much as the parts, by 1/θ²;
 * transmittance by the mean; luminance of the strip, 2·r wide, instead of the parts' discs.
 */
function joinEyes(parts: readonly EyeLight[], splits: ReadonlyMap<string, Split>): EyeLight[] {
  const groups = new Map<string, EyeLight[]>();
  for (const part of parts) {
    const id = ownerOf(part.id);
    const group = groups.get(id);
    if (group) group.push(part);
    else groups.set(id, [part]);
  }
  return [...groups].map(([id, group]) => {
    const split = splits.get(id);
    return split ? joined(id, group, split) : group[0]!;
  });
}

function joined(id: string, group: readonly EyeLight[], { partLengthM, source }: Split): EyeLight {
  const E = group.reduce((sum, p) => sum + p.eyeIlluminanceLx, 0);
  const nearest = Math.min(...group.map((p) => p.angleFromGazeDeg));
  const inverse = group.reduce((sum, p) => sum + p.eyeIlluminanceLx / Math.max(0.1, p.angleFromGazeDeg) ** 2, 0);
  const brightestDisc = Math.max(...group.map((p) => p.luminanceCdM2));
  return {
    ...group[0]!,
    id,
    eyeIlluminanceLx: E,
    angleFromGazeDeg: inverse > 0 ? Math.sqrt(E / inverse) : nearest,
    transmittance: group.reduce((sum, p) => sum + p.transmittance, 0) / group.length,
    luminanceCdM2: (brightestDisc * Math.PI * source.lamp.lensRadiusM) / (2 * partLengthM),
  };
}
