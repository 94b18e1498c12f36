import { describe, expect, it } from 'vitest';
import { createBounceModel } from '../../src/lights/bounce/index.ts';
import { createCaster } from '../../src/lights/rays/index.ts';
import type { Vec3 } from '../../src/scene/index.ts';
import { type Plate, plateScene, yard } from './bounceScenes.ts';

/** Seeded random numbers (Mulberry32). */
function randomFrom(seed: number): () => number {
  let a = seed;
  return () => {
    a = (a + 0x6d2b79f5) | 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: Vec3, b: Vec3): Vec3 => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const along = (p: Vec3, d: Vec3, t: number): Vec3 => [p[0] + t * d[0], p[1] + t * d[1], p[2] + t * d[2]];

/** Nearest plate along a ray by its plane equation; `undefined` where none is met. */
function nearest(plates: readonly Plate[], o: Vec3, d: Vec3): { plate: Plate; at: Vec3; normal: Vec3 } | undefined {
  let best: { plate: Plate; at: Vec3; normal: Vec3 } | undefined;
  let nearestT = Infinity;
  for (const plate of plates) {
    const normal = cross(plate.u, plate.v);
    const t = dot(normal, [plate.origin[0] - o[0], plate.origin[1] - o[1], plate.origin[2] - o[2]]) / dot(normal, d);
    if (!(t > 1e-6 && t < nearestT)) continue;
    const at = along(o, d, t);
    const r: Vec3 = [at[0] - plate.origin[0], at[1] - plate.origin[1], at[2] - plate.origin[2]];
    const [s, q] = [dot(r, plate.u), dot(r, plate.v)];
    if (s < 0 || q < 0 || s > plate.widthM || q > plate.heightM) continue;
    nearestT = t;
    best = { plate, at, normal };
  }
  return best;
}

/** Indirect lux at a point by paths of any length: Σ over their hits of Π ρ · direct lux there. Blind: no light is aimed at. */
function traced(
  plates: readonly Plate[],
  directLx: Map<string, number>,
  p: Vec3,
  n: Vec3,
  paths: number,
  random: () => number,
): number {
  let sum = 0;
  for (let k = 0; k < paths; k++) {
    let [o, normal, share] = [p, n, 1];
    for (;;) {
      const hit = nearest(plates, o, cosine(normal, random));
      if (!hit || dot(hit.normal, [o[0] - hit.at[0], o[1] - hit.at[1], o[2] - hit.at[2]]) <= 0) break;
      share *= hit.plate.reflectance;
      sum += share * (directLx.get(hit.plate.id) ?? 0);
      if (share < 1e-4) break;
      [o, normal] = [hit.at, hit.normal];
    }
  }
  return sum / paths;
}

/** Cosine-weighted by rejection: a point in the unit ball touching the plane (Lambert's law by geometry). */
function cosine(n: Vec3, random: () => number): Vec3 {
  for (;;) {
    const p: Vec3 = [2 * random() - 1, 2 * random() - 1, 2 * random() - 1];
    const r = Math.hypot(...p);
    if (r > 1 || r < 1e-3) continue;
    const d: Vec3 = [p[0] / r + n[0], p[1] / r + n[1], p[2] / r + n[2]];
    const length = Math.hypot(...d);
    if (length > 1e-3) return [d[0] / length, d[1] / length, d[2] / length];
  }
}

describe('bounces against a brute-force path tracer that shares no code (seed 11)', () => {
  const plates: Plate[] = [
    yard(10, 0.3),
    { id: 'wall', origin: [-3, 0, -1], u: [1, 0, 0], v: [0, 1, 0], widthM: 6, heightM: 3, reflectance: 0.6 },
    { id: 'wing', origin: [-3, 0, 2], u: [0, 0, -1], v: [0, 1, 0], widthM: 3, heightM: 3, reflectance: 0.5 },
    { id: 'screen', origin: [2, 0, 1.5], u: [-1, 0, 0], v: [0, 1, 0], widthM: 2, heightM: 1.2, reflectance: 0.4 },
  ];
  const direct = new Map([
    ['wall', 20],
    ['screen', 5],
  ]);

  it('median ≤ 3 % on lit patches of every surface, and ≤ 3 % of all light misplaced', () => {
    const scene = plateScene(plates);
    const model = createBounceModel(scene, createCaster(scene));
    model.buildAll(512);
    const E = model.bounced(model.patches.map((p) => direct.get(scene.faces[p.face]!.id) ?? 0));
    const random = randomFrom(11);
    const errors: number[] = [];
    let [wrongLx, totalLx] = [0, 0];
    for (let i = 0; i < model.patches.length; i += 19) {
      const points = model.pointsOf(i);
      const normal = scene.faces[model.patches[i]!.face]!.normal;
      let lx = 0;
      for (let k = 0; k < points.length; k += 3) {
        const p: Vec3 = [points[k]!, points[k + 1]!, points[k + 2]!];
        lx += traced(plates, direct, p, normal, 3000, random) / (points.length / 3);
      }
      wrongLx += Math.abs(E[i * 3 + 1]! - lx);
      totalLx += lx;
      if (lx > 0.01) errors.push(Math.abs(E[i * 3 + 1]! - lx) / Math.max(lx, 0.1));
      else expect(E[i * 3 + 1]!).toBeLessThan(0.02);
    }
    errors.sort((a, b) => a - b);
    expect(errors.length).toBeGreaterThan(15);
    expect(errors[errors.length >> 1]).toBeLessThan(0.03);
    expect(wrongLx / totalLx).toBeLessThan(0.03);
  });
});
