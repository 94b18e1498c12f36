import type { PlantModel } from '../../src/scene/index.ts';

/** Optical depth k·Ω·Σ LAD·chord of a ray through the clumps of a plant, G = 0.5. */
export function clumpTransmittance(plant: PlantModel, from: readonly number[], dir: readonly number[]): number {
  let tau = 0;
  const { clumps } = plant;
  for (let i = 0; i < clumps.length; i += 5) {
    const [x, y, z] = [clumps[i]! - from[0]!, clumps[i + 1]! - from[1]!, clumps[i + 2]! - from[2]!];
    const along = x * dir[0]! + y * dir[1]! + z * dir[2]!;
    const dSq = x * x + y * y + z * z - along * along;
    const r = clumps[i + 3]!;
    if (dSq < r * r) tau += 2 * Math.sqrt(r * r - dSq) * clumps[i + 4]!;
  }
  return Math.exp(-0.5 * plant.clumping * tau);
}

/** Chance that a ray misses all leaves: each card it crosses is leaf over `leafShare` of its square. */
export function cardGap(plant: PlantModel, from: readonly number[], dir: readonly number[], leafShare: number): number {
  let gap = 1;
  const { cards: c } = plant;
  const [fx, fy, fz] = [from[0]!, from[1]!, from[2]!];
  const [dx, dy, dz] = [dir[0]!, dir[1]!, dir[2]!];
  for (let i = 0; i < c.length; i += 8) {
    const half = c[i + 6]! / 2;
    const [ox, oy, oz] = [c[i]! - fx, c[i + 1]! - fy, c[i + 2]! - fz];
    const t0 = ox * dx + oy * dy + oz * dz;
    if ((ox - t0 * dx) ** 2 + (oy - t0 * dy) ** 2 + (oz - t0 * dz) ** 2 > 2 * half * half) continue;
    const o = [ox, oy, oz];
    const n = [c[i + 3]!, c[i + 4]!, c[i + 5]!];
    const cos = n[0]! * dir[0]! + n[1]! * dir[1]! + n[2]! * dir[2]!;
    if (Math.abs(cos) < 1e-6) continue;
    const t = (o[0]! * n[0]! + o[1]! * n[1]! + o[2]! * n[2]!) / cos;
    const q = [0, 1, 2].map((k) => dir[k]! * t - o[k]!);
    const spin = plant.cardLook[(i / 8) * 3]!;
    const helper = Math.abs(n[1]!) < 0.9 ? [0, 1, 0] : [1, 0, 0];
    const a = [
      helper[1]! * n[2]! - helper[2]! * n[1]!,
      helper[2]! * n[0]! - helper[0]! * n[2]!,
      helper[0]! * n[1]! - helper[1]! * n[0]!,
    ];
    const size = Math.hypot(a[0]!, a[1]!, a[2]!);
    const u = a.map((v) => v / size);
    const v = [n[1]! * u[2]! - n[2]! * u[1]!, n[2]! * u[0]! - n[0]! * u[2]!, n[0]! * u[1]! - n[1]! * u[0]!];
    const x = q[0]! * u[0]! + q[1]! * u[1]! + q[2]! * u[2]!;
    const y = q[0]! * v[0]! + q[1]! * v[1]! + q[2]! * v[2]!;
    const c1 = Math.cos(spin);
    const s1 = Math.sin(spin);
    if (Math.abs(c1 * x + s1 * y) < half && Math.abs(c1 * y - s1 * x) < half) gap *= 1 - leafShare;
  }
  return gap;
}

/** Level rays through the middle of a crown (within 85 % of its half width and height), from two sides. */
export function* crownRays(
  plant: PlantModel,
  steps: number,
): Generator<{ from: [number, number, number]; dir: [number, number, number] }> {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < plant.clumps.length; i += 5)
    for (let k = 0; k < 3; k++) {
      low[k] = Math.min(low[k]!, plant.clumps[i + k]! - plant.clumps[i + 3]!);
      high[k] = Math.max(high[k]!, plant.clumps[i + k]! + plant.clumps[i + 3]!);
    }
  for (const along of [0, 2])
    for (let a = 0; a < steps; a++)
      for (let b = 0; b < steps; b++) {
        const p = (2 * (a + 0.5)) / steps - 1;
        const q = (2 * (b + 0.5)) / steps - 1;
        if (p * p + q * q > 0.72) continue;
        const across = 2 - along;
        const from: [number, number, number] = [0, 0, 0];
        from[across] = (low[across]! + high[across]!) / 2 + (p * (high[across]! - low[across]!)) / 2;
        from[1] = (low[1]! + high[1]!) / 2 + (q * (high[1]! - low[1]!)) / 2;
        from[along] = low[along]! - 1;
        const dir: [number, number, number] = [0, 0, 0];
        dir[along] = 1;
        yield { from, dir };
      }
}
