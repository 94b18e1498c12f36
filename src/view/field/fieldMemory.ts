import { TILE_SAMPLES } from '../../lights/index.ts';
import type { SceneModel } from '../../scene/index.ts';
import type { FieldUpdate, LightClient } from '../../worker/index.ts';

const SLOT_NUMBERS = TILE_SAMPLES * TILE_SAMPLES * 4;

export interface FieldListener {
  setScene(scene: SceneModel): void;
  setField(update: FieldUpdate): void;
}

/**
 * What a client has said so far: scene, tiles and the newest samples of every slot. Updates are increments, so a picture
 * mounted later (after a fold, in a second pane) needs them all; it hears one update that sums them up.
 */
class FieldMemory {
  private readonly listeners = new Set<FieldListener>();
  private scene: SceneModel | undefined;
  private pending: SceneModel | undefined;
  private last: FieldUpdate | undefined;
  private tiles: FieldUpdate['tiles'];
  private cards: FieldUpdate['cards'];
  private strands: FieldUpdate['strands'];
  /** Newest update of each slot, and its place there. */
  private readonly slots = new Map<number, { update: FieldUpdate; k: number }>();
  /** Newest second vector of each crossed slot. */
  private readonly crossed = new Map<number, Uint16Array>();

  constructor(client: LightClient) {
    client.onEvent((event) => {
      if (event.type === 'scene') {
        this.pending = event.scene;
        for (const listener of this.listeners) listener.setScene(event.scene);
      } else if (event.type === 'field') {
        this.keep(event.update);
        for (const listener of this.listeners) listener.setField(event.update);
      }
    });
  }

  listen(listener: FieldListener): () => void {
    this.listeners.add(listener);
    if (this.scene) listener.setScene(this.scene);
    const sum = this.sum();
    if (sum) listener.setField(sum);
    if (this.pending) listener.setScene(this.pending);
    return () => this.listeners.delete(listener);
  }

  private keep(update: FieldUpdate): void {
    if (this.pending && update.tiles) {
      this.scene = this.pending;
      this.pending = undefined;
      if (!update.kept) {
        this.slots.clear();
        this.crossed.clear();
      }
      this.cards = undefined;
      this.strands = undefined;
    }
    this.tiles = update.tiles ?? this.tiles;
    this.cards = update.cards ?? this.cards;
    this.strands = update.strands ?? this.strands;
    update.slots.forEach((slot, k) => {
      this.slots.set(slot, { update, k });
    });
    update.crossed?.slots.forEach((slot, k) => {
      this.crossed.set(slot, update.crossed!.vector.subarray(k * SLOT_NUMBERS, (k + 1) * SLOT_NUMBERS));
    });
    this.last = update;
  }

  private sumCrossed(): NonNullable<FieldUpdate['crossed']> {
    const vector = new Uint16Array(this.crossed.size * SLOT_NUMBERS);
    [...this.crossed.values()].forEach((values, k) => {
      vector.set(values, k * SLOT_NUMBERS);
    });
    return { slots: [...this.crossed.keys()], vector };
  }

  private sumValid(slots: readonly number[]): Uint32Array {
    const out = new Uint32Array(slots.length * TILE_SAMPLES);
    slots.forEach((slot, i) => {
      const { update, k } = this.slots.get(slot)!;
      out.set(update.valid.subarray(k * TILE_SAMPLES, (k + 1) * TILE_SAMPLES), i * TILE_SAMPLES);
    });
    return out;
  }

  private sum(): FieldUpdate | undefined {
    if (!this.last || !this.tiles) return undefined;
    const slots = [...this.slots.keys()];
    const gather = (part: 'direct' | 'indirect'): Uint16Array => {
      const out = new Uint16Array(slots.length * SLOT_NUMBERS);
      slots.forEach((slot, i) => {
        const { update, k } = this.slots.get(slot)!;
        out.set(update[part].subarray(k * SLOT_NUMBERS, (k + 1) * SLOT_NUMBERS), i * SLOT_NUMBERS);
      });
      return out;
    };
    return {
      revision: this.last.revision,
      stage: this.last.stage,
      tiles: this.tiles,
      slots,
      direct: gather('direct'),
      indirect: gather('indirect'),
      valid: this.sumValid(slots),
      ...(this.crossed.size > 0 ? { crossed: this.sumCrossed() } : {}),
      ...(this.cards ? { cards: this.cards } : {}),
      ...(this.strands ? { strands: this.strands } : {}),
    };
  }
}

const memories = new WeakMap<LightClient, FieldMemory>();

/** Starts remembering what a client says; call before its first `show`, so that nothing is missed. */
export function rememberField(client: LightClient): void {
  if (!memories.has(client)) memories.set(client, new FieldMemory(client));
}

/** Hears scene and light of a client, what it said before included. Returns how to stop. */
export function listenToField(client: LightClient, listener: FieldListener): () => void {
  rememberField(client);
  return memories.get(client)!.listen(listener);
}
