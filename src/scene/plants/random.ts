/** Seeded random numbers (mulberry32): the same plant grows from the same seed on every machine. */
export interface Dice {
  /** Uniform in [0, 1). */
  next(): number;
  /** Uniform in [from, to). */
  range(from: number, to: number): number;
  /** Uniform direction. */
  direction(): [number, number, number];
}

export function createDice(seed: number): Dice {
  let state = seed >>> 0;
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const range = (from: number, to: number) => from + (to - from) * next();
  const direction = (): [number, number, number] => {
    const y = range(-1, 1);
    const phi = range(0, 2 * Math.PI);
    const s = Math.sqrt(1 - y * y);
    return [s * Math.cos(phi), y, s * Math.sin(phi)];
  };
  return { next, range, direction };
}

/** Mixes words into one 32-bit seed (FNV-1a), so that two habits with one seed do not share their numbers. */
export function mixSeed(seed: number, word: string): number {
  let h = (2166136261 ^ seed) >>> 0;
  for (let i = 0; i < word.length; i++) h = Math.imul(h ^ word.charCodeAt(i), 16777619) >>> 0;
  return h;
}
