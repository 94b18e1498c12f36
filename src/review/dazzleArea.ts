import { compileBeam, dirtFactorOf, type LightModel } from '../lights/index.ts';
import { type FixtureRecord, isInsideBlock, type LampRecord, sceneGroundHeightAt, type Vec3 } from '../scene/index.ts';

/** Eyes looked for, metres above the ground: standing, seated, lying (screens: 1.60, 1.15, 0.45). */
export const DAZZLE_EYES = [
  { posture: 'standing', eyeM: 1.6 },
  { posture: 'seated', eyeM: 1.15 },
  { posture: 'lying', eyeM: 0.45 },
] as const;
export type DazzlePosture = (typeof DAZZLE_EYES)[number]['posture'];

/** Ground from which one light is seen above a limit. */
export interface DazzleArea {
  lightId: string;
  limitLx: number;
  cellM: number;
  postures: {
    posture: DazzlePosture;
    eyeM: number;
    /** Ground points, middles of square cells of `cellM`, whose eye receives more than the limit. */
    cells: Vec3[];
    /** Most that any of these eyes receives, lux, and how far the farthest stands from the light. */
    worstLx: number;
    farthestM: number;
  }[];
}

const CELL_M = 0.5;
const FARTHEST_M = 30;
/** Nobody's eye is nearer than this to a lamp by chance. */
const NEAREST_M = 0.4;

/**
 * Where a standing, seated or lying eye would receive more than `limitLx` from one light: E = I·T/(d² + r²) normal to the ray,
 * by rays of its own, lens clean (first night), whichever way the eye looks. The ground is asked in cells of 0.5 m out to where
 * the brightest direction falls below the limit, at most 30 m.
 *
 * @returns postures without cells where no eye receives as much; undefined where the light is off or not in the model
 */
export function dazzleArea(model: LightModel, fixture: FixtureRecord, lamp: LampRecord, limitLx: number): DazzleArea | undefined {
  const dirt = dirtFactorOf(fixture);
  const first = model.eyeLight([fixture.at[0] + 1, fixture.at[1], fixture.at[2]], [-1, 0, 0], [fixture.id]);
  if (first.length === 0 || !fixture.on || fixture.dim <= 0 || dirt <= 0) return undefined;
  const { peakCd } = compileBeam(lamp.distribution, fixture.lens, fixture.shield);
  const reachM = Math.min(FARTHEST_M, Math.sqrt((peakCd * fixture.dim) / limitLx));
  const postures = DAZZLE_EYES.map(({ posture, eyeM }) => ({ posture, eyeM, cells: [] as Vec3[], worstLx: 0, farthestM: 0 }));
  const steps = Math.ceil(reachM / CELL_M);
  for (let i = -steps; i <= steps; i++) {
    for (let j = -steps; j <= steps; j++) {
      const x = (Math.round(fixture.at[0] / CELL_M) + i) * CELL_M;
      const z = (Math.round(fixture.at[2] / CELL_M) + j) * CELL_M;
      const awayM = Math.hypot(x - fixture.at[0], z - fixture.at[2]);
      if (awayM > reachM || awayM < NEAREST_M) continue;
      const ground = sceneGroundHeightAt(model.scene, x, z);
      if (ground === undefined) continue;
      for (const one of postures) {
        const eye: Vec3 = [x, ground + one.eyeM, z];
        if (isInsideBlock(model.scene, eye)) continue;
        const toward: Vec3 = [fixture.at[0] - x, fixture.at[1] - eye[1], fixture.at[2] - z];
        const lx = (model.eyeLight(eye, toward, [fixture.id])[0]?.eyeIlluminanceLx ?? 0) / dirt;
        if (lx <= limitLx) continue;
        one.cells.push([x, ground, z]);
        one.worstLx = Math.max(one.worstLx, lx);
        one.farthestM = Math.max(one.farthestM, awayM);
      }
    }
  }
  return { lightId: fixture.id, limitLx, cellM: CELL_M, postures };
}
