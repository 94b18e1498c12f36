import { createLightModel, resolveSources } from '../../../src/lights/index.ts';
import { cctToLinearRgb } from '../../../src/exposure/index.ts';
import { facePoint, isInsideBlock, pointCovered, pointInFace, type SceneModel, type Vec3 } from '../../../src/scene/index.ts';
import { NIGHT } from '../testSource.ts';
import type { PathScene } from './scenes.ts';
import { dice, type Lamp } from './lamps.ts';
import { Tracer } from './tracer.ts';

export interface Place {
  face: number;
  s: number;
  t: number;
  at: Vec3;
}

/** Even random places on the faces asked. */
export function placesOf(scene: SceneModel, asked: PathScene, count: number, seed: number): Place[] {
  const random = dice(seed);
  const faces = scene.faces.flatMap((face, index) =>
    face.sampled && asked.parts.some((id) => face.partId === id || face.id.startsWith(`${id}/`)) ? [{ face, index }] : [],
  );
  const areas = faces.map(({ face }) => face.widthM * face.heightM);
  const all = areas.reduce((a, b) => a + b, 0);
  const out: Place[] = [];
  for (let tries = 0; out.length < count && tries < count * 2000; tries++) {
    let left = random() * all;
    let pick = 0;
    while (pick + 1 < areas.length && left > areas[pick]!) left -= areas[pick++]!;
    const { face, index } = faces[pick]!;
    const [s, t] = [random() * face.widthM, random() * face.heightM];
    if (!pointInFace(face, s, t) || pointCovered(face, s, t)) continue;
    const at = facePoint(face, s, t);
    if (at.some((v, k) => v < asked.low[k]! || v > asked.high[k]!)) continue;
    if (isInsideBlock(scene, at.map((v, k) => v + 0.001 * face.normal[k]!) as unknown as Vec3)) continue;
    out.push({ face: index, s, t, at });
  }
  return out;
}

export function tracerOf(scene: SceneModel, asked: PathScene): Tracer {
  const { catalogue, schemes } = asked.document;
  const lamps: Lamp[] = schemes[0]!.fixtures.map((fixture) => {
    const lamp = catalogue.lamps.find((l) => l.id === fixture.lampId)!;
    const beam = lamp.distribution;
    if (beam.kind !== 'model') throw new Error('model lamps only');
    return { at: fixture.at, aim: fixture.aim, lensRadiusM: lamp.lensRadiusM, ...beam };
  });
  const leaf = scene.plants[0];
  const reflects: Vec3 = [0.075, 0.125, 0.035];
  return new Tracer(scene, lamps, {
    reflects: leaf ? [...leaf.leafReflectanceRgb] : scaled(reflects, 0.1),
    passes: leaf ? [...leaf.leafTransmittanceRgb] : scaled([0.075, 0.125, 0.016], 0.05),
  });
}

const scaled = ([r, g, b]: Vec3, luminous: number): Vec3 => {
  const k = luminous / (0.2126 * r + 0.7152 * g + 0.0722 * b);
  return [r * k, g * k, b * k];
};

/** Bounced light by the solver at the same places: in the field, and by rays of its own; for white light. */
export function solved(scene: SceneModel, asked: PathScene, places: readonly Place[]) {
  const model = createLightModel(scene, { surroundings: 'darkRural' });
  model.setSources([], NIGHT);
  model.solveAll();
  const dark = places.map((p) => model.sampleField(p.face, p.s, p.t)!.indirectRgb);
  model.setSources(resolveSources(asked.document, 'lit', { after: true, dirt: 'asShown' }), NIGHT);
  model.solveAll();
  const white = cctToLinearRgb(4000);
  return {
    model,
    field: places.map((p, i) => {
      const found = model.sampleField(p.face, p.s, p.t)!;
      const of = (k: number): number => (found.indirectRgb[k]! - dark[i]![k]!) / white[k]!;
      return [of(0), of(1), of(2)] as const;
    }),
    exact: places.map((p) => model.exactAt(p.at, scene.faces[p.face]!.normal)),
  };
}
