import type { PlantRecord, Vec3 } from '../records/index.ts';
import { scatterPoints } from './leaves.ts';
import type { Dice } from './random.ts';
import { addCurve, addNode, colonise, type Skeleton } from './skeleton.ts';

/** Leaf masses of a low plant, in plant axes (foot at the origin), and where outward is. */
export interface Bush {
  points: Vec3[];
  volumeM3: number;
  outward: (at: Vec3) => Vec3;
}

const away = (x: number, y: number, z: number): Vec3 => {
  const k = 1 / (Math.hypot(x, y, z) || 1);
  return [x * k, y * k, z * k];
};

/**
 * A lumpy dome that sits on the ground: leaves in the outer 45 % of the radius, a dozen shoulders of uneven size, a skirt that
 * comes down to the crown base.
 */
export function layShrub(record: PlantRecord, count: number, radiusM: number, dice: Dice): Bush {
  const a = record.spreadM / 2 - radiusM;
  const depthM = record.heightM - record.crownBaseM;
  const lumps = Array.from({ length: 13 }, (_, i) => {
    const y = 0.08 + (0.9 * (i + 0.5)) / 13;
    const phi = i * 2.39996 + dice.range(-0.4, 0.4);
    const s = Math.sqrt(1 - y * y);
    return { d: away(s * Math.cos(phi), y * dice.range(0.8, 1.1), s * Math.sin(phi)), swell: dice.range(0.02, 0.2) };
  });
  const swellAt = (d: Vec3) => {
    let swell = 0.82;
    for (const l of lumps) {
      const c = d[0] * l.d[0] + d[1] * l.d[1] + d[2] * l.d[2];
      swell = Math.max(swell, 0.82 + l.swell * Math.min(1, Math.max(0, (c - 0.72) / 0.22)));
    }
    return swell;
  };
  const throwDart = (): Vec3 => {
    const y = dice.range(-0.3, 1);
    const phi = dice.range(0, 2 * Math.PI);
    const s = Math.sqrt(1 - y * y);
    const u: Vec3 = [s * Math.cos(phi), y, s * Math.sin(phi)];
    const r = swellAt(u) * (1 - 0.45 * dice.next() ** 1.7);
    return [u[0] * r * a, u[1] * r, u[2] * r * a];
  };
  const points = scatterPoints(count, radiusM * 1.3, throwDart);
  return {
    points,
    volumeM3: (2 / 3) * Math.PI * (record.spreadM / 2) ** 2 * depthM * 1.2,
    outward: (p) => away(p[0], p[1] - record.crownBaseM - 0.25 * depthM, p[2]),
  };
}

/** A ball or egg clipped to shape: leaves in a thin outer shell. */
export function layBall(record: PlantRecord, count: number, radiusM: number, dice: Dice): Bush {
  const a = record.spreadM / 2 - radiusM;
  const b = (record.heightM - record.crownBaseM) / 2 - radiusM;
  const throwDart = (): Vec3 => {
    const d = dice.direction();
    const r = 1 - 0.3 * dice.next() ** 2;
    return [d[0] * r * a, d[1] * r * b, d[2] * r * a];
  };
  const middleM = (record.heightM + record.crownBaseM) / 2;
  return {
    points: scatterPoints(count, radiusM * 1.3, throwDart),
    volumeM3: (4 / 3) * Math.PI * (record.spreadM / 2) ** 2 * ((record.heightM - record.crownBaseM) / 2),
    outward: (p) => away(p[0] / a ** 2, (p[1] - middleM) / b ** 2, p[2] / a ** 2),
  };
}

/** A clipped hedge: leaves in the outer shell of a box with soft edges; local x runs along the hedge. */
export function layHedge(record: PlantRecord, count: number, radiusM: number, dice: Dice): Bush {
  const lengthM = record.lengthM ?? record.spreadM;
  const hx = lengthM / 2 - radiusM;
  const hy = (record.heightM - record.crownBaseM) / 2 - radiusM;
  const hz = record.spreadM / 2 - radiusM;
  const throwDart = (): Vec3 | undefined => {
    const p: Vec3 = [dice.range(-1, 1), dice.range(-1, 1), dice.range(-1, 1)];
    const depth = Math.min((1 - Math.abs(p[0])) * hx, (1 - p[1]) * hy, (1 - Math.abs(p[2])) * hz);
    if (depth > 0.2 + 0.1 * dice.next() && dice.next() > 0.08) return undefined;
    const sag = 1 - 0.02 * Math.sin(p[0] * hx * 2.1);
    return [p[0] * hx, p[1] * hy * sag, p[2] * hz * (1 - 0.06 * Math.max(0, p[1]) ** 4)];
  };
  const middleM = (record.heightM + record.crownBaseM) / 2;
  return {
    points: scatterPoints(count, radiusM * 1.25, throwDart),
    volumeM3: lengthM * record.spreadM * (record.heightM - record.crownBaseM),
    outward: (p) => away((p[0] / hx) ** 9, ((p[1] - middleM) / hy) ** 9, (p[2] / hz) ** 9),
  };
}

/** A climber: a ragged sheet of leaves against its wall; local x runs along the wall, +z away from it. */
export function layClimber(record: PlantRecord, count: number, radiusM: number, dice: Dice): Bush {
  const hx = record.spreadM / 2 - radiusM;
  const depthM = record.heightM - record.crownBaseM;
  const arms = Array.from({ length: 7 }, (_, i) => ({
    x: -1 + (2 * (i + 0.5)) / 7 + dice.range(-0.1, 0.1),
    top: dice.range(0.55, 1),
  }));
  const throwDart = (): Vec3 | undefined => {
    const x = dice.range(-1, 1);
    const y = dice.next();
    let top = 0.25;
    for (const arm of arms) top = Math.max(top, arm.top * (1 - 2.2 * Math.abs(x - arm.x)));
    return y > top ? undefined : [x * hx, y, dice.range(0.3, 1.6) * radiusM];
  };
  return {
    points: scatterPoints(count, radiusM * 1.2, throwDart),
    volumeM3: record.spreadM * depthM * radiusM * 3 * 0.7,
    outward: () => [0, 0.2, 1],
  };
}

/** Stems from the foot fanning out into the leaves of a shrub, ball or climber. */
export function growStems(record: PlantRecord, bush: Bush, stems: number, dice: Dice): Skeleton {
  const skeleton: Skeleton = { at: [], parent: [] };
  const stepM = Math.max(0.07, record.heightM * 0.08);
  for (let s = 0; s < stems; s++) {
    const phi = (s / stems) * 2 * Math.PI + dice.range(-0.3, 0.3);
    const wide = stems > 1 ? 0.06 * record.spreadM : 0;
    const root = addNode(skeleton, [wide * Math.cos(phi), 0, wide * Math.sin(phi)], -1);
    const topM = Math.max(0.4 * record.heightM, record.crownBaseM + 0.3 * (record.heightM - record.crownBaseM));
    const reach = stems > 1 ? 0.26 * record.spreadM : 0;
    const top: Vec3 = [reach * Math.cos(phi), topM, reach * Math.sin(phi)];
    addCurve(skeleton, root, [wide * Math.cos(phi), topM * 0.6, wide * Math.sin(phi)], top, stepM, 0.08, dice);
  }
  const goals = bush.points.filter((_, i) => i % 3 === 0);
  colonise(skeleton, goals, stepM, stepM * 2, 0.1, 400);
  return skeleton;
}
