import type { PlantModel } from '../massing/types.ts';
import type { PlantRecord, Vec3 } from '../records/index.ts';
import { measuredClumping } from './clumping.ts';
import type { Foliage } from './foliage.ts';
import type { Placing } from './placing.ts';
import type { Dice } from './random.ts';
import { dot, mixed, unit } from './vectors.ts';

/** Clumping Ω inside a clump where none can be measured (design default for broadleaf). */
export const CLUMPING = 0.7;

/** One card of leaves, in plant axes. */
export interface LeafCard {
  at: Vec3;
  normal: Vec3;
  /** Where the sprig on the card points. */
  up: Vec3;
  sideM: number;
  /** 0 … 3. */
  tile: number;
  brightness: number;
}

/** A clump: a sphere of leaf area with the cards that are its leaves. */
export interface LeafMass {
  at: Vec3;
  radiusM: number;
  cards: LeafCard[];
}

export interface SprayStyle {
  sideM: number;
  /** Outward of the whole plant at a point; cards lean that way. */
  outward: (at: Vec3, index: number) => Vec3;
  /** Weight of the plant's outward direction against the clump's own, 0 … 3. */
  outwardWeight: number;
  /** Random part of the normal, 0 = combed. */
  scatter: number;
  /** Cards lie within this share of the clump's radius. */
  reach: number;
  /** Sprigs hang: downward part of the direction they point in. */
  droop: number;
}

/** Fills spheres with sprigs: cards all through the clump, sprigs pointing away from wood, faces mostly outward and up. */
export function fillMasses(points: Vec3[], radiusM: number, perClump: number, style: SprayStyle, dice: Dice): LeafMass[] {
  let carry = 0;
  return points.map((at, index) => {
    carry += perClump;
    const count = Math.floor(carry);
    carry -= count;
    const out = style.outward(at, index);
    const tone = dice.range(0.85, 1.15);
    const cards: LeafCard[] = [];
    for (let k = 0; k < count; k++) {
      const d = dice.direction();
      const r = radiusM * style.reach * dice.next() ** 0.42;
      const w = style.outwardWeight;
      const s = dice.direction();
      const normal = mixed([d, 1], [out, w], [s, style.scatter], [UP, 0.2]);
      cards.push({
        at: [at[0] + r * d[0], at[1] + r * d[1], at[2] + r * d[2]],
        normal,
        up: mixed([out, 0.5], [d, 1.1], [dice.direction(), 0.4], [UP, -style.droop]),
        sideM: style.sideM * dice.range(0.85, 1.15),
        tile: Math.floor(dice.range(0, 4)),
        brightness: toneOf(tone, dice),
      });
    }
    return { at, radiusM, cards };
  });
}

export const UP: Vec3 = [0, 1, 0];
export const toneOf = (tone: number, dice: Dice): number => Math.min(1.4, Math.max(0.5, tone * dice.range(0.72, 1.28)));

/** Carries leaves to their place and packs them; each clump's leaf area density is that of its own cards. */
export function dressPlant(
  record: PlantRecord,
  masses: LeafMass[],
  foliage: Foliage,
  crownVolumeM3: number,
  placing: Placing,
): PlantModel {
  const worn = keptMasses(masses, foliage.keep);
  const model: PlantModel = {
    id: record.id,
    name: record.name,
    habit: record.habit,
    ...boundingSphere(worn, placing),
    clumps: new Float32Array(0),
    clumping: CLUMPING,
    cards: new Float32Array(0),
    cardLook: new Float32Array(0),
    leafSheet: foliage.sheet,
    cardCover: foliage.cover,
    evergreen: record.evergreen,
    leafReflectanceRgb: foliage.reflectanceRgb,
    leafTransmittanceRgb: foliage.transmittanceRgb,
    leafAreaM2: 0,
    crownVolumeM3,
    bark: record.bark,
  };
  /* Clumping is measured in the plant's own axes, so that turning a plant changes nothing. */
  const clumping = measuredClumping({ ...model, ...pack(worn, foliage.cover, undefined) }, foliage.cover, CLUMPING);
  return { ...model, ...pack(worn, foliage.cover, placing), clumping };
}

/** An even share of the cards: each whose running number times the golden ratio falls low. */
function keptMasses(masses: LeafMass[], keep: number): LeafMass[] {
  let n = 0;
  return masses
    .map((mass) => ({ ...mass, cards: mass.cards.filter(() => keep >= 1 || ((n++ + 0.5) * 0.618034) % 1 < keep) }))
    .filter((mass) => mass.cards.length > 0);
}

function pack(
  masses: LeafMass[],
  cover: number,
  placing: Placing | undefined,
): Pick<PlantModel, 'clumps' | 'cards' | 'cardLook' | 'leafAreaM2'> {
  const total = masses.reduce((n, mass) => n + mass.cards.length, 0);
  const clumps = new Float32Array(masses.length * 5);
  const cards = new Float32Array(total * 8);
  const cardLook = new Float32Array(total * 3);
  let leafAreaM2 = 0;
  let i = 0;
  masses.forEach((mass, index) => {
    let areaM2 = 0;
    for (const card of mass.cards) {
      const at = placing ? placing.point(card.at) : card.at;
      const normal = unit(placing ? placing.direction(card.normal) : card.normal);
      const up = placing ? placing.direction(card.up) : card.up;
      cards.set([...at, ...normal, card.sideM, index], i * 8);
      cardLook.set([spinOf(normal, up), card.tile, card.brightness], i * 3);
      areaM2 += cover * card.sideM * card.sideM;
      i++;
    }
    leafAreaM2 += areaM2;
    const centre = placing ? placing.point(mass.at) : mass.at;
    clumps.set([...centre, mass.radiusM, areaM2 / ((4 / 3) * Math.PI * mass.radiusM ** 3)], index * 5);
  });
  return { clumps, cards, cardLook, leafAreaM2 };
}

/** Turn of a card about its normal that lets its sprig point along `up` as far as its plane allows. */
function spinOf(n: Vec3, up: Vec3): number {
  const a: Vec3 = Math.abs(n[1]) < 0.9 ? UP : [1, 0, 0];
  const t = unit([a[1] * n[2] - a[2] * n[1], a[2] * n[0] - a[0] * n[2], a[0] * n[1] - a[1] * n[0]]);
  const b: Vec3 = [n[1] * t[2] - n[2] * t[1], n[2] * t[0] - n[0] * t[2], n[0] * t[1] - n[1] * t[0]];
  return Math.atan2(-dot(up, t), dot(up, b));
}

function boundingSphere(masses: LeafMass[], placing: Placing): { centre: Vec3; radiusM: number } {
  const low: Vec3 = [Infinity, Infinity, Infinity];
  const high: Vec3 = [-Infinity, -Infinity, -Infinity];
  const spheres = masses.map(({ at, radiusM }) => ({ at: placing.point(at), radiusM }));
  for (const { at, radiusM } of spheres)
    for (let k = 0; k < 3; k++) {
      low[k] = Math.min(low[k]!, at[k]! - radiusM);
      high[k] = Math.max(high[k]!, at[k]! + radiusM);
    }
  if (spheres.length === 0) return { centre: placing.point([0, 0, 0]), radiusM: 0 };
  const centre: Vec3 = [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, (low[2] + high[2]) / 2];
  let radius = 0;
  for (const { at, radiusM } of spheres)
    radius = Math.max(radius, Math.hypot(at[0] - centre[0], at[1] - centre[1], at[2] - centre[2]) + radiusM);
  return { centre, radiusM: radius };
}
