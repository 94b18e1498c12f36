import type { PlantModel } from '../massing/types.ts';
import type { PlantRecord, Vec3 } from '../records/index.ts';
import { measuredClumping } from './clumping.ts';
import type { Dice } from './random.ts';

/** Share of a card that is leaf: one-sided leaf area = 0.30 · side². */
export const LEAF_SHARE = 0.3;
/** Clumping Ω inside a clump where none can be measured (design default for broadleaf). */
export const CLUMPING = 0.7;

/**
 * Leaf colours in proportion (.075, .125, .035) and (.075, .125, .016), scaled so that the luminance-weighted reflectance is .10
 * and the transmittance .05: broadleaf visible values of the land-model tables.
 */
const scaled = (rgb: readonly [number, number, number], luminous: number): [number, number, number] => {
  const k = luminous / (0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2]);
  return [rgb[0] * k, rgb[1] * k, rgb[2] * k];
};
export const LEAF_REFLECTANCE_RGB = scaled([0.075, 0.125, 0.035], 0.1);
export const LEAF_TRANSMITTANCE_RGB = scaled([0.075, 0.125, 0.016], 0.05);

export interface Clump {
  at: Vec3;
  radiusM: number;
}

export interface CardStyle {
  sideM: number;
  /** Mean number of cards a clump; fractions are kept by carrying the remainder. */
  perClump: number;
  /** Outward of the whole plant at a point; cards lean that way. */
  outward: (at: Vec3) => Vec3;
  /** Weight of the plant's outward direction against the clump's own, 0 … 3. */
  outwardWeight: number;
  /** Random part of the normal, 0 = combed. */
  scatter: number;
  /** Cards lie between these shares of the clump's radius. */
  shell: readonly [number, number];
}

const unit = (x: number, y: number, z: number): Vec3 => {
  const k = 1 / (Math.hypot(x, y, z) || 1);
  return [x * k, y * k, z * k];
};

/** Hang leaf cards into the clumps; each clump's leaf area density is that of its own cards. */
export function dressClumps(
  record: PlantRecord,
  clumps: Clump[],
  style: CardStyle,
  crownVolumeM3: number,
  dice: Dice,
): PlantModel {
  const cards: number[] = [];
  const look: number[] = [];
  const packed = new Float32Array(clumps.length * 5);
  const leafM2 = LEAF_SHARE * style.sideM * style.sideM;
  let carry = 0;
  clumps.forEach((clump, index) => {
    carry += style.perClump;
    const count = Math.floor(carry);
    carry -= count;
    const out = style.outward(clump.at);
    const clumpBrightness = dice.range(0.85, 1.15);
    for (let k = 0; k < count; k++) {
      const d = dice.direction();
      const r = clump.radiusM * dice.range(style.shell[0], style.shell[1]);
      const s = dice.direction();
      const w = style.outwardWeight;
      const normal = unit(
        d[0] + w * out[0] + style.scatter * s[0],
        d[1] + w * out[1] + style.scatter * s[1] + 0.15,
        d[2] + w * out[2] + style.scatter * s[2],
      );
      cards.push(clump.at[0] + r * d[0], clump.at[1] + r * d[1], clump.at[2] + r * d[2], ...normal, style.sideM, index);
      look.push(
        dice.range(0, 2 * Math.PI),
        Math.floor(dice.range(0, 4)),
        Math.min(1.4, Math.max(0.5, clumpBrightness * dice.range(0.7, 1.3))),
      );
    }
    const volumeM3 = (4 / 3) * Math.PI * clump.radiusM ** 3;
    packed.set([...clump.at, clump.radiusM, (count * leafM2) / volumeM3], index * 5);
  });
  const bounds = boundingSphere(clumps);
  const model: PlantModel = {
    id: record.id,
    name: record.name,
    habit: record.habit,
    centre: bounds.centre,
    radiusM: bounds.radiusM,
    clumps: packed,
    clumping: CLUMPING,
    cards: Float32Array.from(cards),
    cardLook: Float32Array.from(look),
    leafReflectanceRgb: LEAF_REFLECTANCE_RGB,
    leafTransmittanceRgb: LEAF_TRANSMITTANCE_RGB,
    leafAreaM2: (cards.length / 8) * leafM2,
    crownVolumeM3,
    bark: record.bark,
  };
  model.clumping = measuredClumping(model, LEAF_SHARE, CLUMPING);
  return model;
}

function boundingSphere(clumps: Clump[]): { centre: Vec3; radiusM: number } {
  const low: Vec3 = [Infinity, Infinity, Infinity];
  const high: Vec3 = [-Infinity, -Infinity, -Infinity];
  for (const { at, radiusM } of clumps)
    for (let k = 0; k < 3; k++) {
      low[k] = Math.min(low[k]!, at[k]! - radiusM);
      high[k] = Math.max(high[k]!, at[k]! + radiusM);
    }
  const centre: Vec3 = [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, (low[2] + high[2]) / 2];
  let radius = 0;
  for (const { at, radiusM } of clumps)
    radius = Math.max(radius, Math.hypot(at[0] - centre[0], at[1] - centre[1], at[2] - centre[2]) + radiusM);
  return { centre, radiusM: radius };
}

/**
 * Scatters clump centres by dart throwing: as far apart as the room allows, so that leaves gather in masses with gaps between.
 *
 * @param throwDart a random point of the crown, or undefined when it fell where no leaves are.
 */
export function scatterPoints(count: number, spacingM: number, throwDart: () => Vec3 | undefined): Vec3[] {
  const points: Vec3[] = [];
  let spacing = spacingM;
  let misses = 0;
  for (let tries = 0; points.length < count && tries < count * 60; tries++) {
    const p = throwDart();
    if (!p) continue;
    const sq = spacing * spacing;
    const free = points.every((q) => (p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2 + (p[2] - q[2]) ** 2 >= sq);
    if (free) {
      points.push(p);
      misses = 0;
    } else if (++misses > 12) {
      spacing *= 0.94;
      misses = 0;
    }
  }
  return points;
}

/** Affine fit of clumps (with their radius) to a box, axis by axis: the record's sizes are kept exactly. */
export function fitToBox(points: Vec3[], radiusM: number, low: Vec3, high: Vec3): void {
  for (let k = 0; k < 3; k++) {
    let a = Infinity;
    let b = -Infinity;
    for (const p of points) {
      a = Math.min(a, p[k]!);
      b = Math.max(b, p[k]!);
    }
    const from = low[k]! + radiusM;
    const to = Math.max(from, high[k]! - radiusM);
    const scale = b > a ? (to - from) / (b - a) : 0;
    for (const p of points) p[k] = b > a ? from + (p[k]! - a) * scale : (from + to) / 2;
  }
}
