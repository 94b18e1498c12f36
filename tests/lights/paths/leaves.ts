import type { LeafEllipsoid, SceneModel, Vec3 } from '../../../src/scene/index.ts';
import { dot, type Random } from './lamps.ts';
import type { Triple } from './tree.ts';

export interface Leaf {
  centre: Vec3;
  radii: Vec3;
  /** G·Ω·LAD per metre. */
  extinction: number;
  reflects: Vec3;
  passes: Vec3;
}

/** Leaf colours of textbook crowns: as those of plants (luminous .10 and .05). */
export interface LeafColour {
  reflects: Vec3;
  passes: Vec3;
}

/** Normal of the leaf met along d, leaves lying every way: chance in proportion to |cos|. */
export function leafNormal(d: Vec3, random: Random): Triple {
  for (;;) {
    const y = 2 * random() - 1;
    const phi = 2 * Math.PI * random();
    const s = Math.sqrt(1 - y * y);
    const n: Triple = [s * Math.cos(phi), y, s * Math.sin(phi)];
    if (random() < Math.abs(dot(n, d))) return n;
  }
}

export function leavesOf(scene: SceneModel, crown: LeafColour): Leaf[] {
  const out: Leaf[] = [];
  for (const plant of scene.plants) {
    for (let i = 0; i < plant.clumps.length; i += 5) {
      const r = plant.clumps[i + 3]!;
      out.push({
        centre: [plant.clumps[i]!, plant.clumps[i + 1]!, plant.clumps[i + 2]!],
        radii: [r, r, r],
        extinction: 0.5 * plant.clumping * plant.clumps[i + 4]!,
        reflects: plant.leafReflectanceRgb as Vec3,
        passes: plant.leafTransmittanceRgb as Vec3,
      });
    }
  }
  const one = (e: LeafEllipsoid): Leaf => ({
    centre: e.centre,
    radii: e.radiiM,
    extinction: 0.5 * e.clumping * e.leafAreaDensityM2M3,
    ...crown,
  });
  return [...out, ...scene.ellipsoids.map(one)];
}
