import { describe, expect, it } from 'vitest';
import { createPatchMixer } from '../../src/lights/kernels/index.ts';
import { type PatchReading, writeIndirect } from '../../src/lights/solve/indirect.ts';
import { seeded } from './testScene.ts';

/** Seed of every number here. */
const SEED = 20261130;
const PATCHES = 700;

/** A lattice with random patches and weights that sum to 1, as a tile of that stride reads them. */
function randomReading(random: () => number, stride: number, trimmed: boolean): PatchReading {
  const side = Math.floor((31 + stride - 1) / stride) + 1;
  const samples = trimmed ? { i0: 3, i1: 26, j0: 5, j1: 30 } : { i0: 0, i1: 31, j0: 0, j1: 31 };
  const first = (k: number): number => Math.min(side - 2, Math.floor(k / stride));
  const lattice = { i0: first(samples.i0), i1: first(samples.i1) + 1, j0: first(samples.j0), j1: first(samples.j1) + 1 };
  const patch = Int32Array.from({ length: side * side * 4 }, () => Math.floor(random() * PATCHES));
  const weight = Float32Array.from({ length: side * side * 4 }, () => random() / 2);
  return { stride, side, samples, lattice, patch, weight, used: new Int32Array(0), kept: undefined };
}

describe(`light of patches on tiles: kernel against the reference code (seed ${SEED})`, () => {
  const random = seeded(SEED);
  const rgb = Float32Array.from({ length: PATCHES * 3 }, () => 40 * random());
  for (const stride of [1, 2, 4, 8]) {
    for (const trimmed of [false, true]) {
      it(`every ${stride}. sample${trimmed ? ', part of a tile' : ''}`, () => {
        const reading = randomReading(random, stride, trimmed);
        const mixer = createPatchMixer(PATCHES)!;
        const kept = { ...reading, kept: mixer.keep(reading) };
        const [expected, found] = [new Float32Array(2 * 3072).fill(-1), new Float32Array(2 * 3072).fill(-1)];
        writeIndirect(reading, rgb, expected, 3072, undefined);
        writeIndirect(kept, rgb, found, 3072, mixer);
        const worst = found.reduce((most, v, k) => Math.max(most, Math.abs(v - expected[k]!)), 0);
        expect(worst).toBeLessThan(1e-4);
        expect(found.findIndex((v) => v >= 0)).toBe(3072 + (reading.samples.j0 * 32 + reading.samples.i0) * 3);
      });
    }
  }

  it('reads the patches again only when told', () => {
    const mixer = createPatchMixer(PATCHES)!;
    const reading = randomReading(random, 1, false);
    const kept = { ...reading, kept: mixer.keep(reading) };
    const mine = Float32Array.from(rgb);
    const out = new Float32Array(3072);
    writeIndirect(kept, mine, out, 0, mixer);
    const before = out[0]!;
    mine.fill(0);
    mixer.unload();
    writeIndirect(kept, mine, out, 0, mixer);
    expect(before).toBeGreaterThan(0);
    expect(out[0]).toBe(0);
  });

  it('gives the room of a tile that goes to another', () => {
    const mixer = createPatchMixer(PATCHES)!;
    const kept = mixer.keep(randomReading(random, 4, false));
    mixer.drop(kept);
    expect(mixer.keep(randomReading(random, 4, true)).at).toBe(kept.at);
  });
});
