import {
  type Conditions,
  type Hit,
  type LightModel,
  type Source,
  TILE_CELLS,
  TILE_SAMPLES,
  type TileRef,
} from '../../src/lights/index.ts';
import type { Face, SceneModel, Vec3 } from '../../src/scene/index.ts';
import { beamExponent } from './formulas.ts';
import { noLight } from './helpers.ts';

const dot = (a: Vec3, b: Vec3) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const sub = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const cross = (a: Vec3, b: Vec3): Vec3 => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const unit = (a: Vec3): Vec3 => {
  const l = Math.hypot(...a);
  return [a[0] / l, a[1] / l, a[2] / l];
};
const along = (a: Vec3, b: Vec3, k: number): Vec3 => [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]];

/**
 * A model for tests that shares no code with the solver: direct light of model beams by the textbook formula, triangles
 * tried one by one, no bounces, no sky, no leaves. It lets the definitions of the review be tested on closed forms.
 */
export function referenceModel(scene: SceneModel, cellM = 0.05): LightModel {
  let sources: Source[] = [];
  const tiles: TileRef[] = scene.faces.flatMap((face, index) => tilesOf(face, index, cellM));
  tiles.forEach((tile, slot) => {
    tile.slot = slot;
  });
  const texels = tiles.length * TILE_SAMPLES * TILE_SAMPLES;
  const field = {
    ...noLight.field,
    tiles,
    slots: tiles.length,
    directRgb: new Float32Array(3 * texels),
    indirectRgb: new Float32Array(3 * texels),
    valid: new Uint8Array(texels),
  };
  const layer = (source: Source, at: Vec3, normal: Vec3) => directLx(scene, source, at, normal);
  const fieldAt = (face: Face, s: number, t: number) => {
    const at = along(along(along(face.origin, face.u, s), face.v, t), face.normal, 1e-4);
    return sources.reduce((sum, one) => sum + layer(one, at, face.normal), 0);
  };
  const rho = (face: Face) => scene.materials[face.material]!.reflectanceRgb[1];
  const fill = () => {
    for (const tile of tiles) {
      const face = scene.faces[tile.face]!;
      for (let j = 1; j <= TILE_CELLS; j++) {
        for (let i = 1; i <= TILE_CELLS; i++) {
          const s = tile.s0M + (i - 0.5) * cellM;
          const t = tile.t0M + (j - 0.5) * cellM;
          const k = tile.slot * TILE_SAMPLES * TILE_SAMPLES + j * TILE_SAMPLES + i;
          const inside = s < face.widthM && t < face.heightM;
          field.valid[k] = inside ? 1 : 0;
          field.directRgb.fill(inside ? fieldAt(face, s, t) : 0, 3 * k, 3 * k + 3);
        }
      }
    }
  };
  return {
    ...noLight,
    scene,
    field,
    setSources: (next: Source[], _conditions: Conditions) => {
      sources = next.filter((one) => one.weight > 0);
    },
    *solve() {
      fill();
      yield { stage: 'settled', done: 1, of: 1 };
    },
    solveAll: () => fill(),
    cast: (from, direction, maxM = 1000) => castRay(scene, from, unit(direction), maxM),
    transmittance: (from, to) => (isClear(scene, from, to) ? 1 : 0),
    sampleField: (index, s, t) => {
      const face = scene.faces[index]!;
      const lx = fieldAt(face, s, t);
      return { directRgb: [lx, lx, lx], indirectRgb: [0, 0, 0], luminanceCdM2: (lx * rho(face)) / Math.PI };
    },
    sampleLayer: (id, index, s, t) => {
      const face = scene.faces[index]!;
      const at = along(along(along(face.origin, face.u, s), face.v, t), face.normal, 1e-4);
      return sources.filter((one) => one.id === id).reduce((sum, one) => sum + layer(one, at, face.normal), 0);
    },
    luminanceAlong: (from, direction) => {
      const hit = castRay(scene, from, unit(direction), 1000);
      const face = hit && scene.faces[hit.face];
      return { luminanceCdM2: face ? (fieldAt(face, hit.s, hit.t) * rho(face)) / Math.PI : 0, hit };
    },
    exactAt: (at, normal) => {
      const bySource = sources.map((one) => ({ id: one.id, directLx: layer(one, at, unit(normal)), bouncedLx: 0 }));
      const directLx = bySource.reduce((sum, one) => sum + one.directLx, 0);
      return { totalLx: directLx, directLx, bouncedLx: 0, skyLx: 0, windowsLx: 0, bySource };
    },
    eyeLight: (at, gaze) =>
      sources.map((one) => {
        const to = unit(sub(one.fixture.at, at));
        return {
          id: one.id,
          eyeIlluminanceLx: layer(one, at, to),
          angleFromGazeDeg: (Math.acos(Math.min(1, dot(to, unit(gaze)))) * 180) / Math.PI,
          transmittance: isClear(scene, at, one.fixture.at) ? 1 : 0,
          luminanceCdM2: 0,
        };
      }),
  };
}

function directLx(scene: SceneModel, source: Source, at: Vec3, normal: Vec3): number {
  const { fixture, lamp, weight } = source;
  if (lamp.distribution.kind !== 'model') throw new RangeError('model beams only');
  const to = sub(at, fixture.at);
  const d = Math.hypot(...to);
  const cosine = -dot(unit(to), normal);
  const cosTheta = dot(unit(to), unit(sub(fixture.aim, fixture.at)));
  if (cosine <= 0 || cosTheta <= 0 || !isClear(scene, fixture.at, at)) return 0;
  const { fluxLm, beamAngleFullDeg, spillShare } = lamp.distribution;
  const n = beamExponent(beamAngleFullDeg);
  const I = ((1 - spillShare) * fluxLm * (n + 1) * cosTheta ** n) / (2 * Math.PI) + (spillShare * fluxLm * cosTheta) / Math.PI;
  return (weight * I * cosine) / (d * d + lamp.lensRadiusM ** 2);
}

function tilesOf(face: Face, index: number, cellM: number): TileRef[] {
  const side = TILE_CELLS * cellM;
  const tiles: TileRef[] = [];
  for (let j = 0; j * side < face.heightM; j++) {
    for (let i = 0; i * side < face.widthM; i++) {
      tiles.push({ id: `${face.id}#0/${i}/${j}`, slot: 0, face: index, level: 0, cellM, s0M: i * side, t0M: j * side });
    }
  }
  return tiles;
}

function isClear(scene: SceneModel, from: Vec3, to: Vec3): boolean {
  const d = Math.hypot(...sub(to, from));
  const ray = unit(sub(to, from));
  const hit = castRay(scene, along(from, ray, 1e-3), ray, d - 2e-3);
  return hit === undefined;
}

/** Nearest triangle, each tried by the Möller–Trumbore test. */
function castRay(scene: SceneModel, from: Vec3, ray: Vec3, maxM: number): Hit | undefined {
  const { positionsM, count, face: faceOf, part, partIds } = scene.occluders;
  let best = maxM;
  let found = -1;
  for (let k = 0; k < count; k++) {
    const p = (i: number): Vec3 => [positionsM[9 * k + 3 * i]!, positionsM[9 * k + 3 * i + 1]!, positionsM[9 * k + 3 * i + 2]!];
    const a = p(0);
    const e1 = sub(p(1), a);
    const e2 = sub(p(2), a);
    const q = cross(ray, e2);
    const det = dot(e1, q);
    if (Math.abs(det) < 1e-12) continue;
    const w = sub(from, a);
    const u = dot(w, q) / det;
    const r = cross(w, e1);
    const v = dot(ray, r) / det;
    const t = dot(e2, r) / det;
    if (u >= 0 && v >= 0 && u + v <= 1 && t > 1e-4 && t < best) {
      best = t;
      found = k;
    }
  }
  if (found < 0) return undefined;
  const at = along(from, ray, best);
  const face = scene.faces[faceOf[found]!];
  const d = face ? sub(at, face.origin) : at;
  return {
    distanceM: best,
    at,
    normal: face?.normal ?? [0, 1, 0],
    face: faceOf[found]!,
    s: face ? dot(d, face.u) : 0,
    t: face ? dot(d, face.v) : 0,
    material: face?.material ?? 0,
    partId: partIds[part[found]!] ?? '',
  };
}
