import { DataUtils } from 'three';
import type { Strand } from '../../scene/index.ts';

/**
 * Side the light of each ring vertex comes from, for bark relief. A vertex knows only its own illuminance, so the direction is
 * read off its neighbours: round the ring light grows toward the source, and along the limb it grows toward the source too.
 *
 * @param light half RGBA per ring vertex of this strand.
 * @param normals three numbers per ring vertex.
 * @param out three numbers per ring vertex: direction × how one-sided the light is, length 0 … 1.
 */
export function strandLightDirections(
  strand: Strand,
  light: Uint16Array,
  first: number,
  normals: Float32Array,
  out: Float32Array,
  to: number,
): void {
  const { sides } = strand;
  const rings = strand.radiiM.length;
  const from = DataUtils.fromHalfFloat;
  const lux = new Float32Array(rings * sides);
  for (let i = 0; i < lux.length; i++) {
    const at = (first + i) * 4;
    lux[i] = 0.2126 * from(light[at]!) + 0.7152 * from(light[at + 1]!) + 0.0722 * from(light[at + 2]!);
  }
  const mean = new Float32Array(rings);
  for (let r = 0; r < rings; r++) {
    for (let k = 0; k < sides; k++) mean[r]! += lux[r * sides + k]! / sides;
  }
  for (let r = 0; r < rings; r++) {
    const across: [number, number, number] = [0, 0, 0];
    for (let k = 0; k < sides; k++) {
      const v = r * sides + k;
      for (let c = 0; c < 3; c++) across[c]! += (normals[v * 3 + c]! * lux[v]! * 2) / sides;
    }
    const before = Math.max(0, r - 1);
    const after = Math.min(rings - 1, r + 1);
    const axis = [0, 1, 2].map((c) => strand.ringsM[after * 3 + c]! - strand.ringsM[before * 3 + c]!);
    const run = Math.hypot(axis[0]!, axis[1]!, axis[2]!) || 1;
    const level = mean[r]! + 1e-4;
    // Light along the limb: 15 % change a decimetre counts as grazing.
    const slope = Math.max(-1, Math.min(1, ((mean[after]! - mean[before]!) / level / run) * 0.8));
    const dir = [0, 1, 2].map((c) => across[c]! / level + (slope * axis[c]!) / run);
    const size = Math.max(1, Math.hypot(dir[0]!, dir[1]!, dir[2]!));
    for (let k = 0; k < sides; k++) {
      const o = to + (r * sides + k) * 3;
      for (let c = 0; c < 3; c++) out[o + c] = dir[c]! / size;
    }
  }
}
