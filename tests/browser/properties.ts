import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { top } from '../../src/cli/checkout.mjs';

interface Named {
  id: string;
}
/** Only what the tests change; the rest of the file passes through. */
export interface PropertyJson {
  version: number;
  name: string;
  buildings: { parts: (Named & { name?: string })[] }[];
  planting: unknown[];
  ground: { levels: unknown[]; patches: unknown[] };
  viewpoints: (Named & { eye: Vec3; lookAt: Vec3; fieldDeg: number })[];
  questions: unknown[];
  services: unknown[];
  site: Record<string, unknown>;
  catalogue: {
    lamps: (Named & {
      name: string;
      powerW: number;
      distribution: { fluxLm: number; beamAngleFullDeg: number; spillShare: number };
    })[];
  };
  schemes: (Named & {
    name: string;
    fixtures: (Named & {
      name: string;
      at: Vec3;
      aim: Vec3;
      lampId: string;
      targetId?: string;
      dirtFactor?: number;
      shield?: { kind: string; cutOffDeg: number };
      dim?: number;
    })[];
    runs: { id: string; legs: unknown[] }[];
  })[];
}
export type Vec3 = [number, number, number];

/** The demo as it lies in the checkout. */
export function demoProperty(): PropertyJson {
  return JSON.parse(readFileSync(join(top, 'demo/brick-two-storey/brick-two-storey.property.json'), 'utf8')) as PropertyJson;
}

/**
 * The demo's front wall on a small plot, two of its lights on one run: the same records at a size that settles fast. Used
 * where the task is about the screen and not about the demo.
 */
export function smallProperty(): PropertyJson {
  const property = demoProperty();
  property.name = 'Front wall';
  property.site = { region: 'IEC', surroundings: 'suburb', ev100: 3, invented: true, notes: 'Cut from the demo for tests.' };
  for (const building of property.buildings) building.parts = building.parts.filter((p) => p.id === 'front');
  property.planting = [];
  property.questions = [];
  property.services = [];
  const plot = (fromZ: number, toZ: number) => [
    [-1, fromZ],
    [13, fromZ],
    [13, toZ],
    [-1, toZ],
  ];
  property.ground.levels = [{ id: 'plot', name: 'plot', outline: plot(-1, 3), heightM: 0, material: 'lawn' }];
  property.ground.patches = [
    { id: 'gravel', name: 'gravel strip', use: 'gravel', outline: plot(-0.02, 0.9), material: 'gravel' },
  ];
  property.viewpoints = property.viewpoints.filter((v) => v.id === 'street' || v.id === 'gate');
  for (const scheme of property.schemes) {
    scheme.fixtures = scheme.fixtures.filter((f) => f.id === 'f2' || f.id === 'f4');
    for (const fixture of scheme.fixtures) delete fixture.targetId;
    scheme.runs = scheme.runs.slice(0, 1);
    for (const run of scheme.runs) {
      run.legs = [
        { id: 'A1', lengthM: 5, fixtureId: 'f2' },
        { id: 'A2', lengthM: 5, fromId: 'A1', fixtureId: 'f4' },
      ];
    }
  }
  for (const scheme of property.schemes) if (scheme.fixtures.length === 0) scheme.runs = [];
  return property;
}

/** The small property with the lamp of the acceptance tasks (450 lm, 24°, spill 0) and one of 250 lm with the same beam. */
export function taskProperty(): PropertyJson {
  const property = smallProperty();
  const lamp = property.catalogue.lamps.find((l) => l.id === 'facade-450-24');
  if (!lamp) throw new Error('the demo has no 450 lm, 24° lamp');
  lamp.distribution.spillShare = 0;
  property.catalogue.lamps.push({
    ...lamp,
    id: 'facade-250-24',
    name: '250 lm, 24°',
    powerW: 4,
    distribution: { ...lamp.distribution, fluxLm: 250 },
  });
  return property;
}

export function viewOf(property: PropertyJson, id: string): PropertyJson['viewpoints'][number] {
  const view = property.viewpoints.find((v) => v.id === id);
  if (!view) throw new Error(`the property has no view ${id}`);
  return view;
}

/**
 * Illuminance on a wall from a lamp at its foot aimed at the point read: E = I0 · s / (s² + h²)^1.5,
 * I0 = Φ (n + 1) / 2π, n = ln ½ / ln cos(B/2). Inverse square and cosine law; any lighting handbook.
 */
export function wallUplightLx(fluxLm: number, beamDeg: number, setBackM: number, heightM: number): number {
  const n = Math.log(0.5) / Math.log(Math.cos((beamDeg * Math.PI) / 360));
  const centreCd = (fluxLm * (n + 1)) / (2 * Math.PI);
  return (centreCd * setBackM) / (setBackM ** 2 + heightM ** 2) ** 1.5;
}
