import type { PlantRecord, Vec3 } from '../records/index.ts';
import { fillMasses, type LeafCard, type LeafMass } from './leaves.ts';
import { fitToBox } from './placing.ts';
import type { Dice } from './random.ts';
import { createRipple, scatterPoints } from './scatter.ts';
import { addCurve, addNode, colonise, type Skeleton } from './skeleton.ts';
import { along, cross, mixed, unit } from './vectors.ts';

/** Leaf masses of a low plant, in plant axes (foot at the origin). */
export interface Bush {
  masses: LeafMass[];
  volumeM3: number;
}

/** A lumpy dome that comes down to the ground: shoulders of uneven size, shoots that stand out of it. */
export function growShrub(record: PlantRecord, count: number, perClump: number, sideM: number, dice: Dice): Bush {
  const radiusM = Math.min(sideM * 1.5, record.heightM * 0.24, record.spreadM * 0.24);
  const depthM = record.heightM - record.crownBaseM;
  const half = record.spreadM / 2;
  const lumps = Array.from({ length: 15 }, (_, i) => {
    const y = -0.05 + (0.98 * (i + 0.5)) / 15;
    const phi = i * 2.39996 + dice.range(-0.4, 0.4);
    const s = Math.sqrt(1 - y * y);
    return { d: unit([s * Math.cos(phi), y * dice.range(0.8, 1.1), s * Math.sin(phi)]), swell: dice.range(0.04, 0.3) };
  });
  const swellAt = (d: Vec3) => {
    let swell = 0.74;
    for (const l of lumps) {
      const c = d[0] * l.d[0] + d[1] * l.d[1] + d[2] * l.d[2];
      swell = Math.max(swell, 0.74 + l.swell * Math.min(1, Math.max(0, (c - 0.75) / 0.22)));
    }
    return swell;
  };
  const throwDart = (): Vec3 => {
    const y = dice.range(-0.35, 1);
    const phi = dice.range(0, 2 * Math.PI);
    const s = Math.sqrt(1 - y * y);
    const u: Vec3 = [s * Math.cos(phi), y, s * Math.sin(phi)];
    const shoot = dice.next() < 0.1 ? dice.range(1, 1.18) : 1 - 0.5 * dice.next() ** 1.5;
    const r = swellAt(u) * shoot;
    return [u[0] * r, Math.max(-0.3, u[1] * r), u[2] * r];
  };
  const points = scatterPoints(count, (radiusM / half) * 0.8, throwDart);
  fitToBox(points, radiusM, [-half, record.crownBaseM, -half], [half, record.heightM, half]);
  const middle: Vec3 = [0, record.crownBaseM + 0.2 * depthM, 0];
  const style = {
    sideM,
    outward: (p: Vec3) => unit([p[0] - middle[0], (p[1] - middle[1]) * 1.2 + 0.1, p[2] - middle[2]]),
    outwardWeight: 0.9,
    scatter: 0.9,
    reach: 0.9,
    droop: -0.2,
  };
  return {
    masses: fillMasses(points, radiusM, perClump, style, dice),
    volumeM3: (2 / 3) * Math.PI * half ** 2 * depthM * 1.2,
  };
}

/** A patch of a clipped surface: its place, outward side, and half width. */
interface Patch {
  at: Vec3;
  out: Vec3;
  halfM: number;
  /** Factor of its clump's radius. */
  size?: number;
}

/**
 * Leaves of a clipped surface: cards lie just under it, nearly in it, a few deeper. `surface` brings a point of the patch's plane
 * onto the clipped form.
 */
function clothePatches(
  patches: Patch[],
  perClump: number,
  sideM: number,
  depthM: number,
  surface: (p: Vec3, patch: Patch) => { at: Vec3; out: Vec3 },
  dice: Dice,
): LeafMass[] {
  let carry = 0;
  return patches.map((patch) => {
    carry += perClump;
    const count = Math.floor(carry);
    carry -= count;
    const a = unit(cross(Math.abs(patch.out[1]) < 0.9 ? [0, 1, 0] : [1, 0, 0], patch.out));
    const b = cross(patch.out, a);
    const tone = dice.range(0.92, 1.08);
    const radiusM = Math.max(patch.halfM * 1.2, sideM * 0.8) * (patch.size ?? 1);
    const cards = Array.from({ length: count }, (): LeafCard => {
      const flat = along(along(patch.at, dice.range(-1.15, 1.15) * patch.halfM, a), dice.range(-1.15, 1.15) * patch.halfM, b);
      const { at, out } = surface(flat, patch);
      const deep = sideM * 0.3 + depthM * dice.next() ** 1.4;
      return {
        at: along(at, -deep, out),
        normal: mixed([out, 0.7], [dice.direction(), 1]),
        up: mixed([out, 0.7], [dice.direction(), 1], [[0, 1, 0], 0.3]),
        sideM: sideM * dice.range(0.85, 1.15),
        tile: Math.floor(dice.range(0, 4)),
        brightness: tone * dice.range(0.86, 1.14) * (1 - 0.25 * Math.min(1, deep / (depthM + sideM))),
      };
    });
    return { at: along(patch.at, -radiusM, patch.out), radiusM, cards };
  });
}

/** A ball or egg clipped to shape. */
export function growBall(record: PlantRecord, count: number, perClump: number, sideM: number, dice: Dice): Bush {
  const a = record.spreadM / 2;
  const b = (record.heightM - record.crownBaseM) / 2;
  const middleM = (record.heightM + record.crownBaseM) / 2;
  const onForm = (d: Vec3): { at: Vec3; out: Vec3 } => {
    const k = 1 / Math.hypot(d[0] / a, d[1] / b, d[2] / a);
    const at: Vec3 = [d[0] * k, middleM + d[1] * k, d[2] * k];
    return { at, out: unit([(d[0] * k) / a ** 2, (d[1] * k) / b ** 2, (d[2] * k) / a ** 2]) };
  };
  const turn = dice.range(0, 6.28);
  const halfM = Math.sqrt((2.9 * (a + b) ** 2) / count) * 0.56;
  /* Uneven in size, so that the edge of the shadow is not an even row of scallops. */
  const patches = Array.from({ length: count }, (_, i): Patch => {
    const y = 1 - (2 * (i + 0.5)) / count;
    const s = Math.sqrt(1 - y * y);
    const phi = turn + i * 2.39996;
    return { ...onForm([s * Math.cos(phi), y, s * Math.sin(phi)]), halfM, size: dice.range(0.88, 1.12) };
  });
  const uneven = createRipple(dice, 0.5 * a);
  const masses = clothePatches(
    patches,
    perClump,
    sideM,
    0.22 * Math.min(a, b),
    (p) => {
      const form = onForm([p[0], p[1] - middleM, p[2]]);
      return { at: along(form.at, 0.016 * a * uneven(p[0] + 0.7 * p[2], p[1]), form.out), out: form.out };
    },
    dice,
  );
  return { masses, volumeM3: (4 / 3) * Math.PI * a ** 2 * b };
}

/** A clipped hedge: a box, crisp but for a hand's unevenness; local x runs along the hedge. */
export function growHedge(record: PlantRecord, count: number, perClump: number, sideM: number, dice: Dice): Bush {
  const lengthM = record.lengthM ?? record.spreadM;
  const hx = lengthM / 2;
  const hz = record.spreadM / 2;
  const [low, high] = [record.crownBaseM, record.heightM];
  const tall = high - low;
  const faces: { at: Vec3; out: Vec3; a: Vec3; b: Vec3; wide: number; deep: number }[] = [
    { at: [-hx, low, hz], out: [0, 0, 1], a: [1, 0, 0], b: [0, 1, 0], wide: lengthM, deep: tall },
    { at: [-hx, low, -hz], out: [0, 0, -1], a: [1, 0, 0], b: [0, 1, 0], wide: lengthM, deep: tall },
    { at: [-hx, high, -hz], out: [0, 1, 0], a: [1, 0, 0], b: [0, 0, 1], wide: lengthM, deep: record.spreadM },
    { at: [-hx, low, -hz], out: [-1, 0, 0], a: [0, 0, 1], b: [0, 1, 0], wide: record.spreadM, deep: tall },
    { at: [hx, low, -hz], out: [1, 0, 0], a: [0, 0, 1], b: [0, 1, 0], wide: record.spreadM, deep: tall },
  ];
  const areaM2 = faces.reduce((sum, f) => sum + f.wide * f.deep, 0);
  const cellM = Math.sqrt(areaM2 / count);
  const patches: Patch[] = faces.flatMap((f) => {
    const across = Math.max(1, Math.round(f.wide / cellM));
    const up = Math.max(1, Math.round(f.deep / cellM));
    return Array.from({ length: across * up }, (_, i): Patch => {
      const s = (f.wide * ((i % across) + 0.5)) / across;
      const t = (f.deep * (Math.floor(i / across) + 0.5)) / up;
      return { at: along(along(f.at, s, f.a), t, f.b), out: f.out, halfM: Math.max(f.wide / across, f.deep / up) / 2 };
    });
  });
  const uneven = createRipple(dice, 0.7);
  const clamp = (v: number, to: number) => Math.min(to, Math.max(-to, v));
  const onBox = (p: Vec3, patch: Patch): { at: Vec3; out: Vec3 } => {
    const out = patch.out;
    const bump = 0.012 * uneven(p[0] + 1.7 * p[2], p[1] + p[2]) * Math.min(1, tall);
    const at: Vec3 = [clamp(p[0], hx), Math.min(high, Math.max(low, p[1])), clamp(p[2], hz)];
    return { at: along(at, bump - 0.01, out), out };
  };
  const perFilled = (perClump * count) / patches.length;
  const masses = clothePatches(patches, perFilled, sideM, Math.min(0.24, 0.36 * record.spreadM), onBox, dice);
  return { masses, volumeM3: lengthM * record.spreadM * tall };
}

/** Stems from the foot fanning out into the leaves of a shrub or up into a clipped head. */
export function growStems(record: PlantRecord, bush: Bush, stems: number, dice: Dice): Skeleton {
  const skeleton: Skeleton = { at: [], parent: [] };
  const depthM = record.heightM - record.crownBaseM;
  const stepM = Math.max(0.06, record.heightM * 0.07);
  for (let s = 0; s < stems; s++) {
    const phi = (s / stems) * 2 * Math.PI + dice.range(-0.3, 0.3);
    const wide = stems > 1 ? 0.05 * record.spreadM * dice.range(0.5, 1.4) : 0;
    const root = addNode(skeleton, [wide * Math.cos(phi), 0, wide * Math.sin(phi)], -1);
    const topM = record.crownBaseM + (stems > 1 ? dice.range(0.35, 0.6) : 0.35) * depthM;
    const reach = stems > 1 ? dice.range(0.16, 0.3) * record.spreadM : 0;
    const top: Vec3 = [reach * Math.cos(phi), topM, reach * Math.sin(phi)];
    addCurve(skeleton, root, [wide * Math.cos(phi), topM * 0.6, wide * Math.sin(phi)], top, stepM, stems > 1 ? 0.08 : 0.03, dice);
  }
  /* Inside a clipped head wood stays well under the leaves. */
  const middleM = record.crownBaseM + 0.5 * depthM;
  const reach = stems > 1 ? 1 : 0.6;
  const goals = bush.masses
    .filter((_, i) => i % (stems > 1 ? 2 : 3) === 0)
    .map(({ at }): Vec3 => [at[0] * reach, middleM + (at[1] - middleM) * reach, at[2] * reach]);
  const twigM = Math.min(stepM, 0.12 * Math.min(depthM, record.spreadM));
  colonise(skeleton, goals, twigM, twigM * 2, 0.1, 500);
  return skeleton;
}
