import { describe, expect, it } from 'vitest';
import { glareOctaveSum } from '../../src/exposure/index.ts';
import { GLARE_COARSER, GLARE_REACH, gaussianTaps, glareLevels } from '../../src/view/post/glarePyramid.ts';

/** One-dimensional twin of the passes: shrink, Gaussian per level, grow by linear filtering, summed upward. Pixels. */
function spreadOf(octave: number, pixelRad: number): { spread: number; worstDrift: number } {
  const level = glareLevels(pixelRad)[octave]!;
  const lowest = glareLevels(pixelRad)[0]!.power;
  const n = 8192;
  let variance = 0;
  let weight = 0;
  let worstDrift = 0;
  // Averaged over where the point falls in its level pixel.
  for (const offset of [0.13, 0.38, 0.62, 0.87]) {
    const at = n / 2 + Math.floor(offset * 2 ** level.power);
    let line = new Float64Array(n);
    line[at] = 1;
    for (let p = 0; p < level.power; p++) line = p === 0 ? halved(line) : shrunk(line);
    line = blurred(line, level.sigmaPx);
    for (let p = level.power; p > lowest; p--) line = grown(line);
    for (let p = lowest; p > 0; p--) line = grown(line);
    const total = line.reduce((a, b) => a + b, 0);
    line.forEach((v, i) => {
      variance += (v * (i - at) ** 2) / total;
    });
    const centre = line.reduce((sum, v, i) => sum + v * (i - at), 0) / total;
    worstDrift = Math.max(worstDrift, Math.abs(centre));
    weight += 1;
  }
  return { spread: Math.sqrt(variance / weight), worstDrift };
}

const halved = (line: Float64Array): Float64Array<ArrayBuffer> =>
  Float64Array.from({ length: line.length / 2 }, (_, i) => (line[2 * i]! + line[2 * i + 1]!) / 2);

const shrunk = (line: Float64Array): Float64Array<ArrayBuffer> =>
  Float64Array.from({ length: line.length / 2 }, (_, i) => {
    const at = (k: number): number => line[2 * i + k] ?? 0;
    return (at(-1) + 3 * at(0) + 3 * at(1) + at(2)) / 8;
  });

function blurred(line: Float64Array, sigma: number): Float64Array<ArrayBuffer> {
  const reach = Math.min(12, Math.ceil(3 * sigma));
  return Float64Array.from({ length: line.length }, (_, i) => {
    let sum = 0;
    let weights = 0;
    for (let k = -reach; k <= reach; k++) {
      const w = Math.exp((-0.5 * k * k) / sigma ** 2);
      weights += w;
      sum += w * (line[i + k] ?? 0);
    }
    return sum / weights;
  });
}

function grown(line: Float64Array): Float64Array<ArrayBuffer> {
  return Float64Array.from({ length: line.length * 2 }, (_, i) => {
    const x = (i + 0.5) / 2 - 0.5;
    const k = Math.floor(x);
    return (line[k] ?? 0) * (1 - x + k) + (line[k + 1] ?? 0) * (x - k);
  });
}

/** Two-dimensional twin: scatter (x, y) pixels from one bright pixel, averaged over the four ways round and over where it falls. */
function scattered(pixelRad: number, x: number, y: number): number {
  const n = 4096;
  const levels = glareLevels(pixelRad);
  let [sum, count] = [0, 0];
  for (const offset of [0, 1, 2, 3]) {
    const at = n / 2 + offset;
    for (const { power, sigmaPx, weight, plain } of levels) {
      let level = new Float64Array(n);
      level[at] = 1;
      for (let p = 0; p < power; p++) level = p === 0 ? halved(level) : shrunk(level);
      const across = (from: Float64Array): ((d: number) => number) => {
        let line = new Float64Array(from);
        for (let p = power; p > 0; p--) line = grown(line);
        return (d) => {
          const k = Math.floor(at + d);
          return line[k]! + (at + d - k) * (line[k + 1]! - line[k]!);
        };
      };
      const [soft, hard] = [across(blurred(level, sigmaPx)), across(level)];
      for (const [u, v] of [
        [x, y],
        [-x, y],
        [x, -y],
        [-x, -y],
      ] as const)
        sum += weight * soft(u) * soft(v) + plain * hard(u) * hard(v);
    }
    count += 4;
  }
  return sum / count;
}

describe('taps of a blur', () => {
  it.each([0.2, 0.72, 1.9, 3.4])('are a Gaussian of σ %f px that brings its whole weight', (sigma) => {
    const taps = gaussianTaps(sigma, 0.4);
    expect(taps.length - 1).toBe(Math.min(GLARE_REACH, Math.ceil(3 * sigma)));
    const total = taps.reduce((sum, w, i) => sum + (i === 0 ? w : 2 * w), 0);
    expect(total).toBeCloseTo(0.4, 12);
    expect(taps[1]! / taps[0]!).toBeCloseTo(Math.exp(-0.5 / sigma ** 2), 12);
  });
});

describe('glare pyramid', () => {
  // σ_k = 0.08°·2^k of the CIE general disability glare equation as octave Gaussians.
  it.each([
    [55, 1440, 0],
    [55, 1440, 2],
    [55, 1440, 4],
    [25, 1440, 1],
    [80, 2880, 3],
  ])('field %i°, %i px, octave %i: spread in pixels follows degrees', (fieldDeg, widthPx, octave) => {
    const pixelRad = (2 * Math.tan((fieldDeg * Math.PI) / 360)) / widthPx;
    const wantedPx = Math.tan((0.08 * 2 ** octave * Math.PI) / 180) / pixelRad;
    const { spread, worstDrift } = spreadOf(octave, pixelRad);
    expect(Math.abs(spread / wantedPx - 1)).toBeLessThan(0.06);
    expect(worstDrift).toBeLessThanOrEqual(0.51);
  });

  // The eye's scatter is round: the same curve along an axis and along a diagonal, at the places the picture's lamps grow to.
  it.each([
    [55, 1440],
    [74, 1152],
    [90, 800],
  ])('field %i°, %i px: halos are round and follow the octaves', (fieldDeg, widthPx) => {
    const pixelRad = (2 * Math.tan((fieldDeg * Math.PI) / 360)) / widthPx;
    for (const reach of [6, 8, 12, 20]) {
      const [axis, diagonal] = [scattered(pixelRad, reach, 0), scattered(pixelRad, reach / Math.SQRT2, reach / Math.SQRT2)];
      expect(diagonal / axis).toBeGreaterThan(0.85);
      expect(diagonal / axis).toBeLessThan(1.15);
      const theta = (Math.atan(reach * pixelRad) * 180) / Math.PI;
      expect(axis / (glareOctaveSum(theta) * pixelRad ** 2)).toBeGreaterThan(0.8);
      expect(axis / (glareOctaveSum(theta) * pixelRad ** 2)).toBeLessThan(1.15);
    }
  });

  it('halves its widths in pixels when the field doubles', () => {
    // Octave 3, counted from the widest: narrow ones may go in unblurred.
    const narrow = glareLevels(0.0005).at(-6)!;
    const wide = glareLevels(0.001).at(-6)!;
    expect(narrow.sigmaPx * 2 ** narrow.power).toBeGreaterThan(1.7 * wide.sigmaPx * 2 ** wide.power);
  });
});

describe('pixels whose blur is left out', () => {
  it('have nothing in reach: the texel some levels up takes in whatever the taps of any pixel under it can read', () => {
    // Least number above zero of a half float, IEEE 754 binary16.
    const least = 2 ** -24;
    for (let at = 0; at < 256; at++) {
      let line = new Float64Array(512);
      line[128 + at] = 1;
      for (let p = 0; p < GLARE_COARSER; p++) line = shrunk(line);
      for (let d = -GLARE_REACH; d <= GLARE_REACH; d++) {
        const seen = line[(128 + at + d) >> GLARE_COARSER]!;
        // Both ways: the square of the weight, for light as bright as display white. Fainter light at the very end of the reach, where the
        // tap is under a thousandth, may be missed.
        expect(seen * seen).toBeGreaterThan(least);
      }
    }
  });
});
