import type { Beam } from '../beam.ts';
import type { KernelMemory } from './instance.ts';

/** Tables kept in a kernel's memory at once; the one not used for longest gives its room to the next of its size. */
const MOST_TABLES = 64;

/** Addresses of beams' candela tables, each followed by the largest candela beyond, in one instance's memory. */
export interface BeamTables {
  /** Address of a beam's table; copies it in when it is not there. */
  addressOf(beam: Beam): number;
}

export function createBeamTables(memory: KernelMemory): BeamTables {
  const kept = new Map<Float32Array, number>();
  let last: Float32Array | undefined;
  let lastAt = 0;
  return {
    addressOf({ candela, largestBeyond }) {
      if (candela === last) return lastAt;
      last = candela;
      const found = kept.get(candela);
      if (found !== undefined) {
        kept.delete(candela);
        kept.set(candela, found);
        lastAt = found;
        return found;
      }
      const at = roomFor(kept, candela.length) ?? memory.take(candela.byteLength + largestBeyond.byteLength + 16);
      memory.f32.set(candela, at / 4);
      memory.f32.set(largestBeyond, at / 4 + candela.length);
      kept.set(candela, at);
      lastAt = at;
      return at;
    },
  };
}

function roomFor(kept: Map<Float32Array, number>, length: number): number | undefined {
  if (kept.size < MOST_TABLES) return undefined;
  for (const [candela, at] of kept) {
    if (candela.length !== length) continue;
    kept.delete(candela);
    return at;
  }
  return undefined;
}
