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
    vector: new Uint16Array(n),
    indirect: new Uint16Array(n),
  };
  if (tiles) update.tiles = tiles;
  dirty.slots.forEach((slot, k) => {
    const from = slot * SAMPLES * 3;
    const to = k * SAMPLES * 4;
    packRgb(update.direct, to, field.directRgb, from, SAMPLES, {
      of: field.valid,
      at: slot * SAMPLES,
    });
    packRgb(update.vector, to, field.vector, from, SAMPLES);
    packRgb(update.indirect, to, field.indirectRgb, from, SAMPLES);
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

/** The buffers of an update, for `postMessage`'s transfer list. */
export function transferOf(update: FieldUpdate): ArrayBuffer[] {
  return [update.direct, update.vector, update.indirect, update.crossed?.vector, update.cards, update.strands]
    .filter((a): a is Uint16Array<ArrayBuffer> => a !== undefined)
    .map((a) => a.buffer);
}
