import type { BounceModel } from '../bounce/index.ts';
import { type ContactMap, contactCellM, contactDiffers, hiddenShares, openOfPatches, traceContact } from '../contact/index.ts';
import type { TileNode } from '../tiles/node.ts';
import { TILE_SAMPLES } from '../types.ts';
import { type PatchReading, writeIndirect } from './indirect.ts';
import type { Steps } from './kept.ts';
import type { SolverState } from './state.ts';

const SAMPLES = TILE_SAMPLES * TILE_SAMPLES;
/** The budget grows by this share of itself at most for tiles that contact shade asks for. */
const MOST_SHARE = 1 / 32;
/** A tile whose light changes by less keeps what it read, share. */
const SEEN = 0.004;
/** Where patches know of more than this hidden share, no more is made of it. */
const LEAST_OPEN = 0.1;

/** Contact shade of the massing in use, and what hangs on it. */
export interface Contact {
  map: ContactMap | undefined;
  /** The massing is another than that of the map. */
  isStale: boolean;
  tracing: Generator<void, ContactMap, void> | undefined;
  /** What small bodies leave open of each patch's sky, of which patches and map. */
  open: { map: ContactMap; bounce: BounceModel; shares: Float32Array } | undefined;
}

export const createContact = (): Contact => ({ map: undefined, isStale: true, tracing: undefined, open: undefined });

/**
 * Brings the shade to the massing now in use; tiles that it newly asks to be finer, or no longer, are marked for it, and
 * those that wait for patches are written again.
 */
export function* bringContact(state: SolverState, write: (node: TileNode) => void): Steps {
  const { contact, scene } = state;
  if (!contact.isStale) return;
  contact.tracing ??= traceContact(scene, contact.map);
  let next = contact.tracing.next();
  while (!next.done) {
    yield;
    next = contact.tracing.next();
  }
  const before = contact.map;
  Object.assign(contact, { map: next.value, isStale: false, tracing: undefined });
  const waitsForPatches = state.firstSky !== undefined && state.indirectRgb.length === 0;
  for (const node of state.leaves) {
    if (!contactDiffers(before, next.value, scene.faces[node.ref.face]!.id, node.ref)) continue;
    state.stale.trees.add(node);
    if (waitsForPatches) write(node);
  }
}

/** Tiles that the field may hold: more than asked for where contact shade needs them. */
export function tilesAllowed({ options, contact }: SolverState): number {
  const { tileBudget } = options;
  return tileBudget + Math.min(Math.floor(tileBudget * MOST_SHARE), contact.map?.asked ?? 0);
}

/** Tiles there is room for from the start. */
export const mostTiles = (tileBudget: number): number => tileBudget + Math.floor(tileBudget * MOST_SHARE);

/** Cell that contact shade asks for on a tile, metres. */
export function contactCell({ contact, scene }: SolverState, node: TileNode): number {
  return contactCellM(contact.map, scene.faces[node.ref.face]!.id, node.ref);
}

const patchesOpen = new Float32Array(SAMPLES * 3);

/**
 * By how much each sample of a tile gets more or less than its patches say: what small bodies leave open there over what
 * they leave open of the patches, read as light is. So what patches know is not counted twice, and their mean stays.
 */
export function contactOf(state: SolverState, node: TileNode, reading: PatchReading): Float32Array | undefined {
  const { map } = state.contact;
  if (!map) return undefined;
  const shares = openShares(state, map);
  const hidden = hiddenShares(map, state.scene.faces[node.ref.face]!.id, node.ref);
  if (!hidden && reading.used.every((p) => shares[p * 3]! > 1 - SEEN)) return undefined;
  writeIndirect(reading, shares, patchesOpen, 0, state.mixer);
  const out = new Float32Array(SAMPLES).fill(1);
  let most = 0;
  const { i0, i1, j0, j1 } = reading.samples;
  for (let j = j0; j <= j1; j++) {
    for (let k = j * TILE_SAMPLES + i0; k <= j * TILE_SAMPLES + i1; k++) {
      out[k] = (1 - (hidden?.[k] ?? 0)) / Math.max(LEAST_OPEN, patchesOpen[k * 3]!);
      most = Math.max(most, Math.abs(out[k]! - 1));
    }
  }
  return most > SEEN ? out : undefined;
}

function openShares(state: SolverState, map: ContactMap): Float32Array {
  const { contact, scene } = state;
  const { bounce } = state;
  if (contact.open?.map !== map || contact.open.bounce !== bounce) {
    contact.open = { map, bounce, shares: openOfPatches(map, bounce, scene) };
  }
  return contact.open.shares;
}

/** Shades the indirect light of a tile that was read from its patches. */
export function applyContact({ contact, samples }: PatchReading, out: Float32Array, tile: number): void {
  if (!contact) return;
  for (let j = samples.j0; j <= samples.j1; j++) {
    for (let i = samples.i0; i <= samples.i1; i++) {
      const k = j * TILE_SAMPLES + i;
      scale(out, tile + k * 3, contact[k]!);
    }
  }
}

/** The same for the coarse sky before any patch is known. */
export function shadeFirstSky(state: SolverState, node: TileNode, out: Float32Array, tile: number): void {
  const { contact, scene } = state;
  const hidden = contact.map && hiddenShares(contact.map, scene.faces[node.ref.face]!.id, node.ref);
  if (hidden) for (let k = 0; k < SAMPLES; k++) scale(out, tile + k * 3, 1 - hidden[k]!);
}

function scale(out: Float32Array, at: number, by: number): void {
  out[at]! *= by;
  out[at + 1]! *= by;
  out[at + 2]! *= by;
}
