/** Repeatable 32-bit hash of two integers and a seed, 0…1. */
export function hash2(x: number, y: number, seed: number): number {
  let h = Math.imul(x | 0, 0x27d4eb2d) ^ Math.imul(y | 0, 0x165667b1) ^ Math.imul(seed | 0, 0x9e3779b1);
  h = Math.imul(h ^ (h >>> 15), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return ((h ^ (h >>> 16)) >>> 0) / 4294967296;
}

const wrap = (i: number, n: number): number => ((i % n) + n) % n;

/**
 * Adds smooth value noise that repeats over the square texture: `cellsX` × `cellsY` cells, quintic between lattice values,
 * from −amplitude to +amplitude.
 */
export function addNoise(out: Float32Array, n: number, cellsX: number, cellsY: number, amplitude: number, seed: number): void {
  const lattice = new Float32Array(cellsX * cellsY);
  for (let j = 0; j < cellsY; j++)
    for (let i = 0; i < cellsX; i++) lattice[j * cellsX + i] = (hash2(i, j, seed) * 2 - 1) * amplitude;
  const left = new Int32Array(n);
  const right = new Int32Array(n);
  const mix = new Float32Array(n);
  for (let x = 0; x < n; x++) {
    const u = (x / n) * cellsX;
    left[x] = Math.floor(u);
    right[x] = (left[x]! + 1) % cellsX;
    mix[x] = quintic(u - left[x]!);
  }
  for (let y = 0; y < n; y++) {
    const v = (y / n) * cellsY;
    const low = Math.floor(v) * cellsX;
    const high = ((Math.floor(v) + 1) % cellsY) * cellsX;
    const fy = quintic(v - Math.floor(v));
    for (let x = 0; x < n; x++) {
      const a = lattice[low + left[x]!]! * (1 - mix[x]!) + lattice[low + right[x]!]! * mix[x]!;
      const b = lattice[high + left[x]!]! * (1 - mix[x]!) + lattice[high + right[x]!]! * mix[x]!;
      out[y * n + x] = out[y * n + x]! + a * (1 - fy) + b * fy;
    }
  }
}

const quintic = (t: number): number => t * t * t * (t * (t * 6 - 15) + 10);

/**
 * Scattered stones: per texel the distances to the nearest and second nearest of one jittered seed per cell, in cells, and
 * a random tone of the nearest stone; repeats over the texture.
 */
export function scatterCells(
  n: number,
  cellsX: number,
  cellsY: number,
  seed: number,
  stretch = 1,
): {
  first: Float32Array;
  second: Float32Array;
  tone: Float32Array;
} {
  const first = new Float32Array(n * n);
  const second = new Float32Array(n * n);
  const tone = new Float32Array(n * n);
  for (let y = 0; y < n; y++) {
    for (let x = 0; x < n; x++) {
      const u = (x / n) * cellsX;
      const v = (y / n) * cellsY;
      let d1 = 9;
      let d2 = 9;
      let stone = 0;
      for (let dj = -1; dj <= 1; dj++) {
        for (let di = -1; di <= 1; di++) {
          const ci = Math.floor(u) + di;
          const cj = Math.floor(v) + dj;
          const wi = wrap(ci, cellsX);
          const wj = wrap(cj, cellsY);
          const turn = hash2(wi, wj, seed + 2) * Math.PI;
          const dx = ci + 0.04 + 0.92 * hash2(wi, wj, seed) - u;
          const dy = cj + 0.04 + 0.92 * hash2(wi, wj, seed + 1) - v;
          const along = (dx * Math.cos(turn) + dy * Math.sin(turn)) / stretch;
          const across = (dy * Math.cos(turn) - dx * Math.sin(turn)) * stretch;
          const d = Math.hypot(along, across);
          if (d < d1) {
            d2 = d1;
            d1 = d;
            stone = hash2(wi, wj, seed + 3);
          } else if (d < d2) d2 = d;
        }
      }
      const o = y * n + x;
      first[o] = d1;
      second[o] = d2;
      tone[o] = stone;
    }
  }
  return { first, second, tone };
}
