import { DataUtils } from 'three';
import type { PlantModel } from '../../scene/index.ts';

/** Texels of one card in the light texture: front, back, and where the light comes from. */
export const CARD_TEXELS = 3;
const half = DataUtils.toHalfFloat;

/**
 * Estimates from which side the light of a clump comes. Each card knows only what falls on its two sides; their difference is
 * V·n, V the light vector (Gershun). Over the cards of a clump, whose normals scatter, V follows by least squares:
 *
 *     (Σ n nᵀ + ε I) V = Σ n (E_front − E_back)
 *
 * @param difference luminance-weighted E_front − E_back per card, lux.
 * @returns V per clump, lux, three numbers each.
 */
export function clumpLightVectors(plant: PlantModel, difference: Float32Array): Float32Array {
  const clumps = plant.clumps.length / 5;
  const sums = new Float64Array(clumps * 9);
  const cards = plant.cards;
  for (let i = 0; i < difference.length; i++) {
    const nx = cards[i * 8 + 3]!;
    const ny = cards[i * 8 + 4]!;
    const nz = cards[i * 8 + 5]!;
    const o = cards[i * 8 + 7]! * 9;
    const d = difference[i]!;
    sums[o]! += nx * nx;
    sums[o + 1]! += nx * ny;
    sums[o + 2]! += nx * nz;
    sums[o + 3]! += ny * ny;
    sums[o + 4]! += ny * nz;
    sums[o + 5]! += nz * nz;
    sums[o + 6]! += nx * d;
    sums[o + 7]! += ny * d;
    sums[o + 8]! += nz * d;
  }
  const out = new Float32Array(clumps * 3);
  for (let k = 0; k < clumps; k++) solveSymmetric(sums, k * 9, out, k * 3);
  return out;
}

/** Cramer's rule on a 3 × 3 symmetric system with a little ridge. */
function solveSymmetric(s: Float64Array, at: number, out: Float32Array, to: number): void {
  const ridge = 0.15;
  const a = s[at]! + ridge;
  const b = s[at + 1]!;
  const c = s[at + 2]!;
  const d = s[at + 3]! + ridge;
  const e = s[at + 4]!;
  const f = s[at + 5]! + ridge;
  const x = s[at + 6]!;
  const y = s[at + 7]!;
  const z = s[at + 8]!;
  const A = d * f - e * e;
  const B = c * e - b * f;
  const C = b * e - c * d;
  const det = a * A + b * B + c * C;
  out[to] = (A * x + B * y + C * z) / det;
  out[to + 1] = (B * x + (a * f - c * c) * y + (b * c - a * e) * z) / det;
  out[to + 2] = (C * x + (b * c - a * e) * y + (a * d - b * b) * z) / det;
}

/** Share of a needle spray's brighter side that is its clump's. */
const ROUNDNESS = 0.9;
/** Share of each side's light that a needle spray shows on its other side. */
const SEEN_THROUGH = 0.3;

/**
 * Display: needles stand all round their twig, so how bright a spray looks hardly depends on how the flat card that stands for it
 * is turned, and its two sides look much alike. Factor that brings the brighter side of each card most of the way to the mean of
 * its clump, and the clumps some way to their neighbours; the sum over the plant stays.
 */
export function roundedShares(plant: PlantModel, brighter: Float32Array): Float32Array {
  const clumps = plant.clumps.length / 5;
  const [sums, counts] = [new Float64Array(clumps), new Float64Array(clumps)];
  brighter.forEach((lux, i) => {
    sums[plant.cards[i * 8 + 7]!]! += lux;
    counts[plant.cards[i * 8 + 7]!]!++;
  });
  const means = exchanged(plant, sums, counts);
  return brighter.map((lux, i) => {
    const clump = plant.cards[i * 8 + 7]!;
    /* All of a clump's shares carry its exchange, so that the sum stays. */
    const own = sums[clump]! / counts[clump]!;
    const change = own > 1e-4 ? means[clump]! / own : 1;
    return lux > 1e-4 ? change * (1 - ROUNDNESS + (ROUNDNESS * own) / lux) : 1;
  });
}

/** Rounds in which touching clumps exchange a part of their difference. */
const EXCHANGES = 4;
const touching = new WeakMap<PlantModel, Uint32Array>();

/** Mean light of each clump after some exchange between those that touch: what one gives another takes. */
function exchanged(plant: PlantModel, sums: Float64Array, counts: Float64Array): Float64Array {
  let pairs = touching.get(plant);
  if (!pairs) {
    pairs = touchingPairs(plant.clumps);
    touching.set(plant, pairs);
  }
  const degree = new Float64Array(counts.length);
  for (const clump of pairs) degree[clump]!++;
  const total = Float64Array.from(sums);
  const takeMeans = () => total.map((sum, k) => sum / Math.max(1, counts[k]!));
  let means = takeMeans();
  for (let round = 0; round < EXCHANGES; round++) {
    for (let p = 0; p < pairs.length; p += 2) {
      const [a, b] = [pairs[p]!, pairs[p + 1]!];
      const flow = (0.8 * Math.min(counts[a]!, counts[b]!) * (means[b]! - means[a]!)) / (1 + Math.max(degree[a]!, degree[b]!));
      total[a]! += flow;
      total[b]! -= flow;
    }
    means = takeMeans();
  }
  return means;
}

/** Pairs of clumps whose spheres touch. */
function touchingPairs(clumps: Float32Array): Uint32Array {
  const pairs: number[] = [];
  for (let i = 0; i < clumps.length; i += 5)
    for (let j = 0; j < i; j += 5) {
      const reach = clumps[i + 3]! + clumps[j + 3]!;
      const [x, y, z] = [clumps[i]! - clumps[j]!, clumps[i + 1]! - clumps[j + 1]!, clumps[i + 2]! - clumps[j + 2]!];
      if (x * x + y * y + z * z < reach * reach) pairs.push(i / 5, j / 5);
    }
  return Uint32Array.from(pairs);
}

/** Packs one plant's part of a field update (front, back as half RGBA) with light directions, three texels a card. */
export function packCardLight(plant: PlantModel, cards: Uint16Array, firstCard: number, out: Uint16Array): void {
  const count = plant.cards.length / 8;
  const from = DataUtils.fromHalfFloat;
  const luminance = (at: number) => 0.2126 * from(cards[at]!) + 0.7152 * from(cards[at + 1]!) + 0.0722 * from(cards[at + 2]!);
  const difference = new Float32Array(count);
  const brighter = new Float32Array(count);
  for (let i = 0; i < count; i++) {
    const at = (firstCard + i) * 8;
    const [front, back] = [luminance(at), luminance(at + 4)];
    difference[i] = front - back;
    brighter[i] = Math.max(front, back);
  }
  const round = plant.leafSheet === 'needle' ? roundedShares(plant, brighter) : undefined;
  const vectors = clumpLightVectors(plant, difference);
  for (let i = 0; i < count; i++) {
    const at = (firstCard + i) * 8;
    const to = i * CARD_TEXELS * 4;
    for (let k = 0; k < 8; k++) out[to + k] = cards[at + k]!;
    if (round) {
      packSpray(plant, i, round[i]!, difference[i]! >= 0, out, to);
      continue;
    }
    const v = plant.cards[i * 8 + 7]! * 3;
    const size = Math.hypot(vectors[v]!, vectors[v + 1]!, vectors[v + 2]!) || 1;
    for (let k = 0; k < 3; k++) out[to + 8 + k] = half(vectors[v + k]! / size);
    out[to + 11] = 0;
  }
}

/** Rounds one spray's light, both sides' sum kept when they mix; it comes from straight ahead, so that no spray is dark for its turn. */
function packSpray(plant: PlantModel, card: number, share: number, frontLit: boolean, out: Uint16Array, to: number): void {
  const from = DataUtils.fromHalfFloat;
  const [lit, dim] = frontLit ? [to, to + 4] : [to + 4, to];
  for (let k = 0; k < 3; k++) {
    const bright = Math.min(60000, from(out[lit + k]!) * share);
    const dark = from(out[dim + k]!);
    out[lit + k] = half(bright + SEEN_THROUGH * (dark - bright));
    out[dim + k] = half(dark + SEEN_THROUGH * (bright - dark));
    out[to + 8 + k] = half(plant.cards[card * 8 + 3 + k]! * (frontLit ? 1 : -1));
  }
  out[to + 11] = 0;
}
