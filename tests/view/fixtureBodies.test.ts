import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { beamCandela, compileBeam, type TileRef } from '../../src/lights/index.ts';
import { buildScene, facePoint, fixtureRecord, lampRecord, parseProperty, type Vec3 } from '../../src/scene/index.ts';
import { slotOriginTexel } from '../../src/view/field/atlas.ts';
import { aroundOf, hostOf, hostTexel, lightBody } from '../../src/view/lenses/around.ts';
import { bodyOf } from '../../src/view/lenses/bodies.ts';
import { latheGeometry } from '../../src/view/lenses/lathe.ts';
import { lensInTubeLuminance, openingOf } from '../../src/view/lenses/lensLight.ts';

const lamp = lampRecord.parse({
  id: 'l',
  name: 'accent',
  distribution: { kind: 'model', fluxLm: 280, beamAngleFullDeg: 80, spillShare: 0.1 },
  ...{ cctK: 2700, powerW: 5, powerFactor: 1, lowestV: 10, startV: 10, highestV: 15, lensRadiusM: 0.02 },
});
const standing = fixtureRecord.parse({ id: 'f', at: [0, 0.3, 0], aim: [0.3, 3, 0.2], lampId: 'l' });
const shrouded = { ...standing, shield: { kind: 'shroud' as const, cutOffDeg: 45, rollDeg: 0 } };

type Triangle = [Vec3, Vec3, Vec3];
function trianglesOf(fixture: typeof standing): Triangle[] {
  const { geometry } = latheGeometry([bodyOf(fixture, openingOf(fixture, lamp, 1), undefined, 0)]);
  const p = geometry.getAttribute('position');
  const index = geometry.getIndex()!;
  const corner = (k: number): Vec3 => [p.getX(index.getX(k)), p.getY(index.getX(k)), p.getZ(index.getX(k))];
  return Array.from({ length: index.count / 3 }, (_, k) => [corner(3 * k), corner(3 * k + 1), corner(3 * k + 2)]);
}

const minus = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: Vec3, b: Vec3): Vec3 => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];

/** Möller and Trumbore 1997, either side. */
function meets(from: Vec3, way: Vec3, [a, b, c]: Triangle): boolean {
  const [e1, e2] = [minus(b, a), minus(c, a)];
  const h = cross(way, e2);
  const det = dot(e1, h);
  if (Math.abs(det) < 1e-14) return false;
  const s = minus(from, a);
  const u = dot(s, h) / det;
  const q = cross(s, e1);
  const v = dot(way, q) / det;
  return u >= 0 && v >= 0 && u + v <= 1 && dot(e2, q) / det > 1e-6;
}

describe('shroud as drawn', () => {
  const opening = openingOf(shrouded, lamp, 1);
  const triangles = trianglesOf(shrouded);
  const f = opening.frame;
  const beam = compileBeam(lamp.distribution, shrouded.lens, shrouded.shield);

  // Lens and tube as built, seen by rays, against the intensity that every read-out uses.
  it.each([0, 15, 30, 40, 50, 70])('lets the eye see the light the fixture sends, at %i° from its axis', (deg) => {
    const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
    const way = [0, 1, 2].map((k) => c * f[k]! + s * (0.8 * f[3 + k]! + 0.6 * f[6 + k]!)) as unknown as Vec3;
    const eye = [0, 1, 2].map((k) => opening.at[k]! + 100 * way[k]!) as unknown as Vec3;
    let seen = 0;
    let all = 0;
    for (let i = -11.5; i < 12; i++)
      for (let j = -11.5; j < 12; j++) {
        const [x, y] = [(0.02 * i) / 12, (0.02 * j) / 12];
        if (Math.hypot(x, y) > 0.0198) continue;
        all++;
        const from = [0, 1, 2].map((k) => opening.at[k]! + 1e-5 * f[k]! + x * f[3 + k]! + y * f[6 + k]!) as unknown as Vec3;
        if (!triangles.some((triangle) => meets(from, way, triangle))) seen++;
      }
    const drawnCd = (lensInTubeLuminance(opening, eye) * Math.PI * 0.02 ** 2 * c * seen) / all;
    expect(Math.abs(drawnCd - beamCandela(beam, c, 0.8 * s, 0.6 * s))).toBeLessThan(0.03 * beamCandela(beam, 1, 0, 0));
    if (deg > 45) expect(seen).toBe(0);
  });

  it('stands above the lens of what is staked and below that of what is set in the ground', () => {
    const tops = (mount: 'stake' | 'inGrade'): number =>
      Math.max(...trianglesOf({ ...shrouded, aim: [0, 3, 0], mount }).flatMap((t) => t.map((p) => p[1])));
    // ℓ = 2r / tan 45°.
    expect(tops('stake') - 0.3).toBeCloseTo(0.04, 6);
    expect(tops('inGrade') - 0.3).toBeLessThan(0.004);
    expect(openingOf({ ...shrouded, mount: 'inGrade' }, lamp, 1).tubeM).toBe(0);
  });

  it('a half shield stands on the side whose light it stops and leaves the other alone', () => {
    for (const rollDeg of [0, 50]) {
      const halved = { ...standing, shield: { kind: 'halfShield' as const, cutOffDeg: 45, rollDeg } };
      const half = openingOf(halved, lamp, 1);
      const walls = trianglesOf(halved);
      const hides = (azimuthDeg: number): boolean => {
        const a = (azimuthDeg * Math.PI) / 180;
        const way = [0, 1, 2].map((k) => 0.34 * f[k]! + 0.94 * (Math.cos(a) * f[3 + k]! + Math.sin(a) * f[6 + k]!));
        const from = [0, 1, 2].map((k) => half.at[k]! + 0.002 * f[k]!) as unknown as Vec3;
        return walls.some((triangle) => meets(from, way as unknown as Vec3, triangle));
      };
      const cd = (azimuthDeg: number): number =>
        beamCandela(
          half.beam,
          0.34,
          0.94 * Math.cos((azimuthDeg * Math.PI) / 180),
          0.94 * Math.sin((azimuthDeg * Math.PI) / 180),
        );
      for (const side of [90 + rollDeg, 60 + rollDeg]) expect([hides(side), cd(side) < 1e-6]).toEqual([true, true]);
      for (const side of [270 + rollDeg, 240 + rollDeg]) expect([hides(side), cd(side) > 1]).toEqual([false, true]);
    }
  });
});

describe('path light', () => {
  it('has a hat that hides its lens from above and no straight light from it', () => {
    const path = { ...standing, at: [0, 0.6, 0] as Vec3, aim: [0, 0, 0] as Vec3 };
    const triangles = trianglesOf(path);
    for (const x of [-0.015, 0, 0.015]) {
      expect(triangles.some((t) => meets([x, 0.6005, 0.004], [0.3, 0.9, 0.1], t))).toBe(true);
      // Out and down past the rim, beside the stem.
      expect(triangles.some((t) => meets([x, 0.599, 0.015], [0.1, -0.05, 0.99], t))).toBe(false);
    }
  });
});

describe('light round a body', () => {
  const normals = Float32Array.from([0, 1, 0, 0, -1, 0, 1, 0, 0]);

  it('in an even room of E lux all round, every side gets E (furnace)', () => {
    const out = new Float32Array(9);
    const pole: Vec3 = [0, 1, 0];
    lightBody(out, normals, { first: 0, end: 3 }, { pole, arriving: [5, 5, 5], returned: [5, 5, 5] });
    for (const E of out) expect(E * Math.PI).toBeCloseTo(5, 5);
  });

  it('over lit ground its underside gets ρ·E of all light, its top what arrives without the beams', () => {
    const out = new Float32Array(9);
    const host = { at: [0, 0, 0] as Vec3, normal: [0, 1, 0] as Vec3, face: 0, s: 1, t: 1, reflectance: [0.2, 0.2, 0.2] as const };
    lightBody(out, normals, { first: 0, end: 3 }, aroundOf(host, { direct: [40, 40, 40], indirect: [10, 10, 10] }));
    expect(out[0]! * Math.PI).toBeCloseTo(10, 5);
    expect(out[3]! * Math.PI).toBeCloseTo(0.2 * 50, 5);
  });

  const textbook = parseProperty(readFileSync(new URL('../textbook/wall-uplight.property.json', import.meta.url), 'utf8'));
  if (!textbook.ok) throw new Error('the textbook property does not parse');
  const scene = buildScene(textbook.document);

  it('is read at the foot: below a stake, behind a wall light, in the finest tile there', () => {
    const wall = scene.faces.find((face) => face.kind === 'wall' && face.sampled)!;
    const on = facePoint(wall, 0.4 * wall.widthM, 0.4 * wall.heightM);
    const at = [0, 1, 2].map((k) => on[k]! + 0.1 * wall.normal[k]!) as unknown as Vec3;
    const host = hostOf({ ...standing, mount: 'wall', at }, scene)!;
    expect(scene.faces[host.face]).toBe(wall);
    for (let k = 0; k < 3; k++) expect(host.at[k]).toBeCloseTo(on[k]!, 9);
    const coarse = { id: 'a', slot: 1, face: host.face, level: 0, cellM: 1, s0M: 0, t0M: 0 } as TileRef;
    const fine = { ...coarse, slot: 2, cellM: 0.04, s0M: host.s - 0.5, t0M: host.t - 0.5 };
    // Sample (i, j) sits at s0 + (i − 0.5)·cell, as the tile contract states.
    const origin = slotOriginTexel(2);
    expect(hostTexel(host, [fine, coarse])).toEqual({ x: origin.x + 13, y: origin.y + 13 });
    expect(hostTexel(host, [{ ...fine, face: host.face + 1 }])).toBeUndefined();
  });
});
