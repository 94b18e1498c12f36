import type { Vec3 } from '../records/index.ts';
import type { Dice } from './random.ts';

/**
 * Scatters points by dart throwing: as far apart as the room allows, so that leaves gather in masses with gaps between.
 *
 * @param throwDart a random point of the crown, or undefined when it fell where no leaves are.
 */
export function scatterPoints(count: number, spacingM: number, throwDart: () => Vec3 | undefined): Vec3[] {
  const points: Vec3[] = [];
  const cells = new Map<string, Vec3[]>();
  const cell = spacingM;
  const at = (v: number) => Math.floor(v / cell);
  const key = (x: number, y: number, z: number) => `${x},${y},${z}`;
  let spacing = spacingM;
  let misses = 0;
  const isFree = (p: Vec3) => {
    const [cx, cy, cz] = [at(p[0]), at(p[1]), at(p[2])];
    const sq = spacing * spacing;
    for (let x = cx - 1; x <= cx + 1; x++)
      for (let y = cy - 1; y <= cy + 1; y++)
        for (let z = cz - 1; z <= cz + 1; z++)
          for (const q of cells.get(key(x, y, z)) ?? [])
            if ((p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2 + (p[2] - q[2]) ** 2 < sq) return false;
    return true;
  };
  for (let tries = 0; points.length < count && tries < count * 60; tries++) {
    const p = throwDart();
    if (!p) continue;
    if (isFree(p)) {
      points.push(p);
      const name = key(at(p[0]), at(p[1]), at(p[2]));
      const here = cells.get(name);
      if (here) here.push(p);
      else cells.set(name, [p]);
      misses = 0;
    } else if (++misses > 12) {
      spacing *= 0.94;
      misses = 0;
    }
  }
  return points;
}

/** A smooth random surface over (x, y), about −1 … 1, with bumps about `lengthM` wide. */
export function createRipple(dice: Dice, lengthM: number): (x: number, y: number) => number {
  const waves = Array.from({ length: 6 }, () => {
    const turn = dice.range(0, 2 * Math.PI);
    const k = (Math.PI / lengthM) * dice.range(0.6, 1.5);
    return { kx: k * Math.cos(turn), ky: k * Math.sin(turn), phase: dice.range(0, 2 * Math.PI) };
  });
  return (x, y) => {
    let sum = 0;
    for (const w of waves) sum += Math.sin(w.kx * x + w.ky * y + w.phase);
    return sum / 2.6;
  };
}
