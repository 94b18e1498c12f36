import type { PlantModel, SceneModel, Strand } from '../../scene/index.ts';
import { bunchStrands, cardGroups, type PointGroup, strandGroup } from './points.ts';
import { sameNumbers } from './sceneChange.ts';
import type { SolverState } from './state.ts';

/** Groups of one plant or bunch of strands in the massing before, and where its numbers begin. */
interface Was<T> {
  of: T;
  groups: PointGroup[];
  first: number;
  count: number;
  /** Leaf body of its first clump. */
  firstClump: number;
}

/** What leaves and strands keep over a change of the massing: where the numbers lie, before and after. */
interface Kept {
  from: number;
  to: number;
  count: number;
  /** The same points: sums hold too, not only what is seen. */
  same: boolean;
}

/**
 * Brings leaves and strands to the new massing. Plants and bars that stayed as they were keep their groups, whatever their
 * numbers are now; others are grouped anew and show their old light meanwhile.
 *
 * @returns groups that are new.
 */
export function graftGroups(state: SolverState, before: SceneModel): Set<PointGroup> {
  const { plants, strands } = groupsBefore(state, before);
  const scene = state.scene;
  const fresh = new Set<PointGroup>();
  const groups: PointGroup[] = [];
  const whole = [...state.lits.values()].filter((lit) => lit.groupsDone === state.groups.length);
  const [cards, vertices]: [Kept[], Kept[]] = [[], []];
  let [firstCard, firstClump, firstVertex] = [0, 0, 0];
  for (const plant of scene.plants) {
    const was = plants.get(plant.id);
    const count = plant.cards.length / 8;
    const same = was !== undefined && samePlant(was.of, plant);
    const now = same ? was.groups : cardGroups({ plants: [plant] }, { firstOfPlant: Int32Array.of(firstClump) });
    const bodyShift = same ? firstClump - was.firstClump : 0;
    for (const points of now) {
      points.first += firstCard - (same ? was.first : 0);
      if (points.body >= 0) points.body += bodyShift;
      if (!same) fresh.add(points);
      groups.push(points);
    }
    if (was) cards.push({ from: was.first, to: firstCard, count: Math.min(count, was.count), same });
    firstCard += count;
    firstClump += Math.floor(plant.clumps.length / 5);
  }
  for (const bunch of bunchStrands(scene.strands)) {
    const was = strands.get(bunch[0]!.id);
    const same = was !== undefined && sameBunch(was.of, bunch);
    let points = was?.groups[0];
    if (same && points) points.first = firstVertex;
    else {
      points = strandGroup(bunch, firstVertex);
      fresh.add(points);
    }
    if (was) vertices.push({ from: was.first, to: firstVertex, count: Math.min(points.count, was.count), same });
    firstVertex += points.count;
    groups.push(points);
  }
  state.groups = groups;
  moveNumbers(state, cards, firstCard * 6, vertices, firstVertex * 3);
  forgetGroups(state, new Set(groups));
  for (const lit of state.lits.values()) {
    lit.groupsDone = groups.length;
    if (!whole.includes(lit)) lit.groupsKey = '';
  }
  return fresh;
}

function groupsBefore(
  state: SolverState,
  before: SceneModel,
): { plants: Map<string, Was<PlantModel>>; strands: Map<string, Was<Strand[]>> } {
  const plants = new Map<string, Was<PlantModel>>();
  const strands = new Map<string, Was<Strand[]>>();
  let at = 0;
  let [first, firstClump] = [0, 0];
  for (const of of before.plants) {
    const count = of.cards.length / 8;
    const from = at;
    while (at < state.groups.length && state.groups[at]!.kind === 'cards' && state.groups[at]!.first < first + count) at++;
    plants.set(of.id, { of, groups: state.groups.slice(from, at), first, count, firstClump });
    first += count;
    firstClump += Math.floor(of.clumps.length / 5);
  }
  for (const of of bunchStrands(before.strands)) {
    const points = state.groups[at++];
    if (points) strands.set(of[0]!.id, { of, groups: [points], first: points.first, count: points.count, firstClump });
  }
  return { plants, strands };
}

const samePlant = (a: PlantModel, b: PlantModel): boolean =>
  a === b || (a.clumping === b.clumping && sameNumbers(a.clumps, b.clumps) && sameNumbers(a.cards, b.cards));

const sameBunch = (a: readonly Strand[], b: readonly Strand[]): boolean =>
  a.length === b.length && a.every((strand, k) => sameStrand(strand, b[k]!));

const sameStrand = (a: Strand, b: Strand): boolean =>
  a === b ||
  (a.sides === b.sides && a.section === b.section && sameNumbers(a.ringsM, b.ringsM) && sameNumbers(a.radiiM, b.radiiM));

function moveNumbers(state: SolverState, cards: Kept[], cardNumbers: number, vertices: Kept[], vertexNumbers: number): void {
  const { atlas, groupsIndirect } = state;
  const { field } = atlas;
  // What stands in for the light of what moved is seen, never summed on.
  field.cards = moved(field.cards, cards, 6, cardNumbers, true);
  field.strandRgb = moved(field.strandRgb, vertices, 3, vertexNumbers, true);
  atlas.cardsDirect = moved(atlas.cardsDirect, cards, 6, cardNumbers, false);
  atlas.strandsDirect = moved(atlas.strandsDirect, vertices, 3, vertexNumbers, false);
  groupsIndirect.cards = moved(groupsIndirect.cards, cards, 6, cardNumbers, true);
  groupsIndirect.strands = moved(groupsIndirect.strands, vertices, 3, vertexNumbers, true);
}

function moved(list: Float32Array, parts: readonly Kept[], width: number, length: number, all: boolean): Float32Array {
  const out = new Float32Array(length);
  for (const { from, to, count, same } of parts) {
    if (all || same) out.set(list.subarray(from * width, (from + count) * width), to * width);
  }
  return out;
}

function forgetGroups(state: SolverState, kept: ReadonlySet<PointGroup>): void {
  for (const points of state.groupsDirty) if (!kept.has(points)) state.groupsDirty.delete(points);
  for (const lit of state.lits.values()) {
    for (const points of lit.groups.keys()) if (!kept.has(points)) lit.groups.delete(points);
    lit.staleGroups = lit.staleGroups.filter((points) => kept.has(points));
  }
  for (const { each, shared } of state.context.groupPlaces.values()) {
    for (const known of [each, shared]) for (const points of known.keys()) if (!kept.has(points)) known.delete(points);
  }
}
