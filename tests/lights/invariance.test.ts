import { describe, expect, it } from 'vitest';
import { luminanceOf } from '../../src/exposure/index.ts';
import { createLightModel, type LightModel, resolveSources } from '../../src/lights/index.ts';
import { buildScene, facePoint, type PropertyDocument, parseProperty, type Vec3 } from '../../src/scene/index.ts';
import { placesOf } from './paths/judge.ts';
import { pathScenes } from './paths/scenes.ts';
import { NIGHT } from './testSource.ts';

type Plan = [number, number];

/** How places change; a mirror also turns walls round (outside is on the right of their way). */
interface Change {
  name: string;
  plan: (p: Plan) => Plan;
  mirrored: boolean;
  turnDeg: number;
  /** As if typed in feet and taken over with seven digits. */
  feet: boolean;
}

const turned = (deg: number) => {
  const a = (deg * Math.PI) / 180;
  return ([x, z]: Plan): Plan => [x * Math.cos(a) + z * Math.sin(a), -x * Math.sin(a) + z * Math.cos(a)];
};
const CHANGES: Change[] = [
  { name: 'mirrored in X', plan: ([x, z]) => [-x, z], mirrored: true, turnDeg: 0, feet: false },
  { name: 'turned by 37° about Y', plan: turned(37), mirrored: false, turnDeg: 37, feet: false },
  { name: 'given in feet', plan: (p) => p, mirrored: false, turnDeg: 0, feet: true },
];

const FOOT_M = 0.3048;
const typed = (v: number, feet: boolean): number => (feet ? Number((v / FOOT_M).toPrecision(7)) * FOOT_M : v);

/** The court of the path scenes, every record carried over. */
function carried(document: PropertyDocument, change: Change): PropertyDocument {
  const plan = (p: readonly number[]): number[] => change.plan([p[0]!, p[1]!]).map((v) => typed(v, change.feet));
  const space = (p: readonly number[]): number[] => {
    const [x, z] = plan([p[0]!, p[2]!]);
    return [x!, typed(p[1]!, change.feet), z!];
  };
  const copy = JSON.parse(JSON.stringify(document)) as Record<string, never> & PropertyDocument;
  const parts = copy.buildings[0]!.parts.map((part) => {
    if (part.kind !== 'wall') throw new Error('walls only');
    const ends = [plan(part.from), plan(part.to)];
    const [from, to] = change.mirrored ? ends.reverse() : ends;
    return { ...part, from, to, heightM: typed(part.heightM, change.feet), thicknessM: typed(part.thicknessM, change.feet) };
  });
  const parsed = parseProperty(
    JSON.stringify({
      ...copy,
      buildings: [{ ...copy.buildings[0]!, parts }],
      ground: { ...copy.ground, levels: copy.ground.levels.map((l) => ({ ...l, outline: l.outline.map(plan) })) },
      schemes: copy.schemes.map((s) => ({
        ...s,
        fixtures: s.fixtures.map((f) => ({ ...f, at: space(f.at), aim: space(f.aim) })),
      })),
    }),
  );
  if (!parsed.ok) throw new Error(`${change.name}: does not parse`);
  return parsed.document;
}

function solved(document: PropertyDocument): LightModel {
  const model = createLightModel(buildScene(document), { surroundings: 'darkRural', bounceRays: 128 });
  model.setSources(resolveSources(document, 'lit', { after: true, dirt: 'asShown' }), NIGHT);
  model.solveAll();
  return model;
}

/** Field and exact direct light where a place lies in the other property. */
function lightAt(model: LightModel, partId: string, at: Vec3, normal: Vec3): { field: number; exact: number } | undefined {
  const { faces } = model.scene;
  for (let index = 0; index < faces.length; index++) {
    const face = faces[index]!;
    if (face.partId !== partId || !face.sampled) continue;
    if (face.normal.some((v, k) => Math.abs(v - normal[k]!) > 1e-3)) continue;
    const q = at.map((v, k) => v - face.origin[k]!);
    const along = (a: Vec3): number => q[0]! * a[0] + q[1]! * a[1] + q[2]! * a[2];
    if (Math.abs(along(face.normal)) > 1e-3) continue;
    const found = model.sampleField(index, along(face.u), along(face.v));
    if (!found) continue;
    return {
      field: luminanceOf(found.directRgb) + luminanceOf(found.indirectRgb),
      exact: model.exactAt(at, normal).directLx,
    };
  }
  return undefined;
}

describe('the same property carried over gives the same lux (court, seed 5): bar 1 %', () => {
  const court = pathScenes().find((s) => s.name === 'court')!;
  const base = solved(court.document);
  const places = placesOf(base.scene, court, 120, 5);
  const before = places.map((p) => lightAt(base, base.scene.faces[p.face]!.partId, p.at, base.scene.faces[p.face]!.normal)!);

  it.each(CHANGES)('$name', (change) => {
    const model = solved(carried(court.document, change));
    const [fields, exacts]: [number[], number[]] = [[], []];
    places.forEach((p, i) => {
      const face = base.scene.faces[p.face]!;
      const spot = facePoint(face, p.s, p.t);
      const move = (v: Vec3): Vec3 => {
        const [x, z] = change.plan([v[0], v[2]]);
        return [x, v[1], z];
      };
      const after = lightAt(model, face.partId, move(spot), move(face.normal));
      expect(after, `${face.id} ${spot}`).toBeDefined();
      fields.push(Math.abs(after!.field - before[i]!.field) / Math.max(0.1, before[i]!.field));
      exacts.push(Math.abs(after!.exact - before[i]!.exact) / Math.max(0.1, before[i]!.exact));
    });
    const at = (list: number[], share: number): number => list.sort((a, b) => a - b)[Math.floor(list.length * share)]!;
    expect(at(exacts, 0.999)).toBeLessThan(0.01);
    expect(at(fields, 0.5)).toBeLessThan(0.01);
    // Bounces on ground that lies aslant to its walls are coarser: patches of the ground are cut along its own axes.
    expect(at(fields, 0.9)).toBeLessThan(change.turnDeg === 0 ? 0.05 : 0.12);
  });
});
