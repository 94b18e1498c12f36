import type { TileNode } from '../tiles/node.ts';
import type { LampSight } from '../types.ts';
import type { TileVisibility } from '../visibility/tile.ts';
import type { Emitter } from './emitter.ts';
import type { PointGroup } from './points.ts';
import type { SolverState } from './state.ts';

/** Numbers a tile in `tiles`: face, level, i, j, state, places of shadow, depth, edges in `numbers` (−1: none), edge samples. */
export const TILE_NUMBERS = 9;
/** Numbers a group in `groups`: index, place of its depths in `numbers`, count. */
export const GROUP_NUMBERS = 3;
export const STATES = ['dark', 'lit', 'partial'] as const;
const SAMPLES = 1024;

/** Visibility that came from elsewhere, by the square's place; taken out as it is used. */
export type Foreseen = Map<string, TileVisibility>;

const placeOf = (face: number, level: number, i: number, j: number): string => `${face}/${level}/${i}/${j}`;

/** Reads a sight that came back: tiles to be picked up by `pickUp`, leaves into what the place is known to see. */
export function unpackSight(sight: LampSight, groups: readonly PointGroup[], each: Map<PointGroup, Float32Array>): Foreseen {
  const { tiles, numbers } = sight;
  const bits = new Uint32Array(numbers.buffer, numbers.byteOffset, numbers.length);
  const out: Foreseen = new Map();
  for (let o = 0; o < tiles.length; o += TILE_NUMBERS) {
    const [face, level, i, j, state, shadowAt, depthAt, edgesAt, n] = tiles.subarray(o, o + TILE_NUMBERS) as unknown as number[];
    out.set(placeOf(face!, level!, i!, j!), {
      state: STATES[state!]!,
      shadow: shadowAt! < 0 ? undefined : bits.subarray(shadowAt, shadowAt! + 32),
      depth: depthAt! < 0 ? undefined : numbers.subarray(depthAt, depthAt! + SAMPLES),
      edges:
        edgesAt! < 0
          ? undefined
          : {
              at: Uint16Array.from(bits.subarray(edgesAt, edgesAt! + n!)),
              seen: numbers.subarray(edgesAt! + n!, edgesAt! + 2 * n!),
            },
    });
  }
  for (let g = 0; g < sight.groups.length; g += GROUP_NUMBERS) {
    const [index, at, count] = sight.groups.subarray(g, g + GROUP_NUMBERS) as unknown as number[];
    const points = groups[index!];
    if (points?.count === count) each.set(points!, numbers.subarray(at, at! + count!));
  }
  return out;
}

/** Puts what was foreseen of a tile in the place of looking there. */
export function pickUp(state: SolverState, emitter: Emitter, node: TileNode): void {
  const foreseen = state.foreseen.get(emitter.placeKey);
  if (!foreseen) return;
  const place = placeOf(node.ref.face, node.ref.level, node.i, node.j);
  const found = foreseen.get(place);
  if (!found) return;
  foreseen.delete(place);
  let tiles = state.context.places.get(emitter.placeKey);
  if (!tiles) {
    tiles = new Map();
    state.context.places.set(emitter.placeKey, tiles);
  }
  if (!tiles.has(node)) tiles.set(node, found);
}
