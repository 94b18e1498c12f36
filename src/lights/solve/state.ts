import { cctToLinearRgb, type Surroundings } from '../../exposure/index.ts';
import type { ConvexBlock, SceneModel } from '../../scene/index.ts';
import type { BounceModel, BounceProgress } from '../bounce/index.ts';
import type { PatchMixer } from '../kernels/index.ts';
import { type Caster, createCaster, type KernelChoice } from '../rays/index.ts';
import { rootNodes, type TileNode } from '../tiles/node.ts';
import type { Conditions, Rgb, SolveStats, Source } from '../types.ts';
import { type Atlas, createAtlas } from './atlas.ts';
import { type Contact, createContact, mostTiles } from './contact.ts';
import { type Crossing, createCrossing } from './crossed.ts';
import { type BeamCache, createEmitter, type Emitter } from './emitter.ts';
import type { FirstSky } from './firstSky.ts';
import type { Foreseen } from './foreseen.ts';
import type { PatchReading, SampleShares } from './indirect.ts';
import { createLazyBounce, type LazyBounce } from './lazyBounce.ts';
import type { Layer, LayerContext } from './layer.ts';
import { bunchStrands, cardGroups, type GroupLight, type PointGroup, strandGroup } from './points.ts';
import type { Probes } from './probes.ts';

export interface LightModelOptions {
  /** Tiles the field may hold; the static coarse cover is always kept, even beyond. */
  tileBudget?: number;
  surroundings?: Surroundings;
  /** Rays a bounce patch shoots. */
  bounceRays?: number;
  /** `auto`: SIMD kernels where the machine has them; `off`: the f64 reference code. */
  kernels?: KernelChoice;
}

/** What was computed for one source on one tile or group; `light` absent: nothing above the cut. */
export interface Kept<T> {
  /** Empty: what it was made from no longer holds; the light stands in the field until it is made anew. */
  key: string;
  light: T | undefined;
  /** Flux that was left out as too weak, lumens at full output. */
  droppedLm: number;
}

/** Light of one source on one group, and the weight × colour with which it stands in the field. */
export interface GroupLayer {
  light: GroupLight;
  mixed: Float64Array;
}

/** One source with everything made from it. */
export interface Lit {
  source: Source;
  emitter: Emitter;
  /** Linear RGB of its colour, luminance 1. */
  colour: Rgb;
  layers: Map<TileNode, Kept<Layer>>;
  /** Leaves and strands it brings light to. */
  groups: Map<PointGroup, GroupLayer>;
  /** Key of `groups`, and how many groups were worked out for it. */
  groupsKey: string;
  groupsDone: number;
  /** Groups whose light no longer holds since the massing changed. */
  staleGroups: PointGroup[];
  /** Mean direct lux of each bounce patch at full output, with the key and tree it was made from. */
  patchLx: Float32Array | undefined;
  patchKey: string;
  /** Number of that vector among all that were made. */
  patchStamp: number;
  /** Made when first asked for. */
  unit: UnitBounced | undefined;
  /** Its share in the bounced light of all, as it stands there. */
  bouncedAs: BouncedShare | undefined;
  /** Key, tree version and weights it was last brought fully into the field with. */
  done: string;
  /** Layer key that the tiles were last refined for. */
  refinedFor: string;
  /** Layer key and tree whose shadow edges were smoothed. */
  smoothFor: string;
  leaving: boolean;
}

/** Bounced light of one source alone at full output, white, RGB lux a patch, with what it was made from. */
export interface UnitBounced {
  patchLx: Float32Array;
  leaves: Conditions['leaves'];
  rgb: Float32Array;
  /** Differences added since it was made afresh. */
  differences: number;
  /** Reflected light, direct and bounced, lm/m²: made when first asked for. */
  radiosity: Float32Array | undefined;
}

/** Direct light and weight × colour with which a source stands in the bounced light of all. */
export interface BouncedShare {
  patchLx: Float32Array;
  rgb: Rgb;
}

/** What a change of the massing has left to be worked out anew. */
export interface Stale {
  /** The caster is still that of the massing before. */
  caster: boolean;
  /** Tiles with a layer to make anew. */
  tiles: Set<TileNode>;
  /** Tiles whose light changed: to be joined or split as it now asks. */
  trees: Set<TileNode>;
  /** Bounces of the new massing in the making; those of the old one are shown meanwhile. */
  bounce: LazyBounce | undefined;
  building: Generator<BounceProgress, void, void> | undefined;
}

export interface SolverState {
  scene: SceneModel;
  caster: Caster;
  stale: Stale;
  /** What helpers saw from each place and nobody has used yet. */
  foreseen: Map<string, Foreseen>;
  /** Nothing to do until a helper answers. */
  isWaiting: boolean;
  /** Made when first asked for, which takes a while: stages use `lazyBounce.prepare()` first. */
  readonly bounce: BounceModel;
  lazyBounce: LazyBounce;
  /** Work on patches and probes that an overtaken solve left half done. */
  building: Generator<BounceProgress, void, void> | undefined;
  probing: Generator<number, Probes, void> | undefined;
  firstSky: FirstSky | undefined;
  options: Required<LightModelOptions>;
  context: LayerContext;
  atlas: Atlas;
  roots: TileNode[];
  leaves: TileNode[];
  /** Leaves and roots of each face. */
  rootsOfFace: Map<number, TileNode[]>;
  treeVersion: number;
  /** Tiles whose beams cross, with the axis that parts their sides. */
  crossed: Map<TileNode, number>;
  crossing: Crossing;
  contact: Contact;
  /** The set of tiles changed since the field listed it. */
  tilesChanged: boolean;
  beams: BeamCache;
  lits: Map<string, Lit>;
  order: Lit[];
  conditions: Conditions;
  groups: PointGroup[];
  probes: Probes | undefined;
  readings: Map<TileNode, PatchReading>;
  /** Holds the readings where kernels run; of one bounce model. */
  mixer: PatchMixer | undefined;
  sampleShares: Map<TileNode, SampleShares>;
  /** Area of the samples on each patch, of which tree and patches. */
  patchAreas: { tree: number; bounce: BounceModel; areaM2: Float64Array } | undefined;
  /** Total indirect light of the patches. */
  indirectRgb: Float32Array;
  indirectKey: string;
  /** Bounced light of the lamps alone, kept while only the hour changes. */
  bouncedRgb: Float32Array;
  bouncedKey: string;
  /** Transfer and leaves it was made with, differences added since it was made afresh, sources and direct light in it. */
  bouncedBasis: string;
  differences: number;
  bouncedLits: Set<Lit>;
  patchDirectRgb: Float32Array;
  /** Transfer and direct light that bright patches were last looked for in. */
  sharpenedFor: string;
  /** What tiles, and leaves and strands, read: follows the patches when they change visibly. */
  shownRgb: Float32Array;
  shownRadiosity: Float32Array;
  /** Tiles that hold `shownRgb`; groups that do not. */
  indirectDone: Set<TileNode>;
  groupsStale: Uint8Array;
  /** Conditions that the groups were last lit under. */
  groupsSky: string;
  /** Groups whose direct light changed since the field's cards and strands were last summed. */
  groupsDirty: Set<PointGroup>;
  /** All changed since then; and since the change was last told. */
  cardsDirty: boolean;
  strandsDirty: boolean;
  cardsTold: boolean;
  /** Changes of sources since leaves and strands were summed afresh. */
  groupChanges: Int32Array;
  strandsTold: boolean;
  groupsIndirect: { cards: Float32Array; strands: Float32Array };
  stats: SolveStats;
}

const BIG_BLOCKS = 12;

export function createState(scene: SceneModel, options: LightModelOptions): SolverState {
  const caster = createCaster(scene, options.kernels);
  const roots: TileNode[] = [];
  const rootsOfFace = new Map<number, TileNode[]>();
  scene.faces.forEach((face, index) => {
    if (!face.sampled) return;
    const nodes = rootNodes(scene, index);
    rootsOfFace.set(index, nodes);
    roots.push(...nodes);
  });
  const tileBudget = options.tileBudget ?? 2048;
  const groups = cardGroups(scene, caster.leaves);
  let vertices = 0;
  for (const bunch of bunchStrands(scene.strands)) {
    const points = strandGroup(bunch, vertices);
    vertices += points.count;
    groups.push(points);
  }
  const cards = scene.plants.reduce((sum, p) => sum + p.cards.length / 8, 0);
  const lazyBounce = createLazyBounce(scene, caster);
  return {
    scene,
    caster,
    foreseen: new Map(),
    isWaiting: false,
    stale: { caster: false, tiles: new Set(), trees: new Set(), bounce: undefined, building: undefined },
    get bounce() {
      return this.lazyBounce.model;
    },
    lazyBounce,
    building: undefined,
    probing: undefined,
    firstSky: undefined,
    options: {
      tileBudget,
      surroundings: options.surroundings ?? 'suburb',
      bounceRays: options.bounceRays ?? 256,
      kernels: options.kernels ?? 'auto',
    },
    context: {
      scene,
      caster,
      big: bigBlocks(scene),
      places: new Map(),
      groupPlaces: new Map(),
      leavesOn: true,
      droppedFluxLm: 0,
    },
    atlas: createAtlas(Math.max(mostTiles(tileBudget), roots.length), cards, vertices),
    roots,
    leaves: [],
    rootsOfFace,
    treeVersion: 0,
    crossed: new Map(),
    crossing: createCrossing(),
    contact: createContact(),
    tilesChanged: false,
    beams: new Map(),
    lits: new Map(),
    order: [],
    conditions: { sunAltitudeDeg: -12, sunAzimuthDeg: 270, moon: 'none', cloud: 'clear', leaves: 'on' },
    groups,
    probes: undefined,
    readings: new Map(),
    mixer: undefined,
    sampleShares: new Map(),
    patchAreas: undefined,
    indirectRgb: new Float32Array(0),
    indirectKey: '',
    bouncedRgb: new Float32Array(0),
    bouncedKey: '',
    bouncedBasis: '',
    differences: 0,
    bouncedLits: new Set(),
    sharpenedFor: '',
    patchDirectRgb: new Float32Array(0),
    shownRgb: new Float32Array(0),
    shownRadiosity: new Float32Array(0),
    groupsStale: new Uint8Array(0),
    groupsSky: '',
    indirectDone: new Set(),
    groupsDirty: new Set(),
    cardsDirty: false,
    strandsDirty: false,
    cardsTold: false,
    groupChanges: new Int32Array(2),
    strandsTold: false,
    groupsIndirect: { cards: new Float32Array(cards * 6), strands: new Float32Array(vertices * 3) },
    stats: {
      sources: 0,
      tiles: 0,
      tilesLeftCoarse: 0,
      samples: 0,
      rays: 0,
      bytes: 0,
      droppedFluxLm: 0,
      directMs: 0,
      bounceMs: 0,
      mixMs: 0,
    },
  };
}

/** The largest solid bodies: they hide whole tiles at once. */
export function bigBlocks(scene: SceneModel): ConvexBlock[] {
  const size = (b: ConvexBlock): number => [0, 1, 2].reduce((v, k) => v * (b.max[k]! - b.min[k]!), 1);
  return [...scene.blocks].sort((a, b) => size(b) - size(a)).slice(0, BIG_BLOCKS);
}

/** Takes over new sources: those with the same id keep what is still true of them. */
export function adoptSources(state: SolverState, sources: readonly Source[], conditions: Conditions): void {
  state.conditions = conditions;
  state.context.leavesOn = conditions.leaves === 'on';
  const named = new Set(sources.map((s) => s.id));
  for (const lit of state.lits.values()) if (!named.has(lit.source.id)) lit.leaving = true;
  for (const source of sources) {
    const lit = state.lits.get(source.id);
    const emitter = createEmitter(source, state.caster, state.beams, lit?.emitter);
    const colour = cctToLinearRgb(Math.min(15000, source.lamp.cctK));
    if (lit) Object.assign(lit, { source, emitter, colour, leaving: false });
    else state.lits.set(source.id, newLit(source, emitter, colour));
  }
  state.order = sources.map((s) => state.lits.get(s.id)!);
  state.stats.sources = sources.length;
}

function newLit(source: Source, emitter: Emitter, colour: Rgb): Lit {
  return {
    source,
    emitter,
    colour,
    layers: new Map(),
    groups: new Map(),
    groupsKey: '',
    groupsDone: 0,
    staleGroups: [],
    patchLx: undefined,
    patchKey: '',
    patchStamp: 0,
    unit: undefined,
    bouncedAs: undefined,
    done: '',
    refinedFor: '',
    smoothFor: '',
    leaving: false,
  };
}

/** Key of everything a layer of this source is made from. */
export function layerKey(state: SolverState, lit: Lit): string {
  return lit.leaving ? 'off' : `${lit.emitter.aimKey}|${state.context.leavesOn}`;
}

/** Weight × colour now asked for. */
export function weightRgb(lit: Lit): Rgb {
  if (lit.leaving) return [0, 0, 0];
  const w = lit.source.weight;
  return [w * lit.colour[0], w * lit.colour[1], w * lit.colour[2]];
}
