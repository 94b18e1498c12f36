import type { LightField, SolveStage, TileRef } from '../lights/index.ts';
import { TILE_SAMPLES } from '../lights/index.ts';
import { packRgb } from './half.ts';
import type { FieldUpdate } from './types.ts';

const SAMPLES = TILE_SAMPLES * TILE_SAMPLES;

/** Half-float copy of the changed parts of a field, in arrays of its own so that they can be transferred. */
export function packField(
  field: LightField,
  dirty: { slots: number[]; cards: boolean; strands: boolean },
  revision: number,
  stage: SolveStage,
  tiles: TileRef[] | undefined,
): FieldUpdate {
  const n = dirty.slots.length * SAMPLES * 4;
  const update: FieldUpdate = {
    revision,
    stage,
    slots: dirty.slots,
    direct: new Uint16Array(n),
    indirect: new Uint16Array(n),
    valid: new Uint32Array(dirty.slots.length * TILE_SAMPLES),
  };
  if (tiles) update.tiles = tiles;
  dirty.slots.forEach((slot, k) => {
    const from = slot * SAMPLES * 3;
    const to = k * SAMPLES * 4;
    const vector = field.vector.subarray(from, from + SAMPLES * 3);
    packRgb(update.direct, to, field.directRgb, from, SAMPLES, { of: vector, at: 0 });
    packRgb(update.indirect, to, field.indirectRgb, from, SAMPLES, { of: vector, at: 1 });
    packValid(update.valid, k * TILE_SAMPLES, field.valid, slot * SAMPLES);
  });
  const crossed = dirty.slots.filter((slot) => field.second.has(slot));
  if (crossed.length > 0) {
    update.crossed = { slots: crossed, vector: new Uint16Array(crossed.length * SAMPLES * 4) };
    for (const [k, slot] of crossed.entries())
      packRgb(update.crossed.vector, k * SAMPLES * 4, field.second.get(slot)!, 0, SAMPLES);
  }
  if (dirty.cards) {
    update.cards = new Uint16Array((field.cards.length / 3) * 4);
    packRgb(update.cards, 0, field.cards, 0, field.cards.length / 3);
  }
  if (dirty.strands) {
    update.strands = new Uint16Array((field.strandRgb.length / 3) * 4);
    packRgb(update.strands, 0, field.strandRgb, 0, field.strandRgb.length / 3);
  }
  return update;
}

function packValid(out: Uint32Array, outAt: number, valid: Uint8Array, from: number): void {
  for (let j = 0; j < TILE_SAMPLES; j++) {
    let row = 0;
    for (let i = 0; i < TILE_SAMPLES; i++) if (valid[from + j * TILE_SAMPLES + i]) row |= 1 << i;
    out[outAt + j] = row;
  }
}

/** The buffers of an update, for `postMessage`'s transfer list. */
export function transferOf(update: FieldUpdate): ArrayBuffer[] {
  return [update.direct, update.indirect, update.valid, update.crossed?.vector, update.cards, update.strands]
    .filter((a): a is Uint16Array<ArrayBuffer> | Uint32Array<ArrayBuffer> => a !== undefined)
    .map((a) => a.buffer);
}
