import type { MaterialRef, Vec2, Vec3 } from '../records/index.ts';

/**
 * What the property looks like to light: flat faces that carry samples, triangles that stand in the way, convex blocks
 * for "is this point inside something", strands (bars, posts, limbs) and plants. Pure data, made by `buildScene(document)`.
 */
export interface SceneModel {
  faces: Face[];
  occluders: TriangleSoup;
  blocks: ConvexBlock[];
  strands: Strand[];
  plants: PlantModel[];
  /** Textbook crowns: homogeneous ellipsoids. */
  ellipsoids: LeafEllipsoid[];
  panes: Pane[];
  /** Library sheets and bare reflectances in use; `Face.material` and `FacePatch.material` index this list. */
  materials: SceneMaterial[];
  /** Where eyes come (viewpoints, along paths); light is sampled finest near them. None: everywhere alike. */
  viewersM?: Vec3[];
  /** Bounds in plan (x, z) of the property's own ground, where its boundary is recorded: what lies far outside is scenery. */
  lotM?: { min: Vec2; max: Vec2 };
  boundsMin: Vec3;
  boundsMax: Vec3;
}

export interface SceneMaterial {
  /** Library id, or `bare-0.5`. */
  id: string;
  /** Linear sRGB diffuse reflectance; its luminance (0.2126, 0.7152, 0.0722) is the luminous reflectance. */
  reflectanceRgb: readonly [number, number, number];
  ref: MaterialRef;
}

/**
 * A flat polygon that carries light. Frame: `origin + s·u + t·v`, u and v unit vectors, normal = u × v, s ∈ [0, widthM],
 * t ∈ [0, heightM]. Walls: u level (left → right seen from outside), v up. Ground: u = +X, v = −Z side so that n points up.
 */
export interface Face {
  /** Stable: `partId/side`, e.g. `front/outer`, `ground-front/top`. */
  id: string;
  partId: string;
  name: string;
  kind: FaceKind;
  origin: Vec3;
  u: Vec3;
  v: Vec3;
  normal: Vec3;
  widthM: number;
  heightM: number;
  /** Outer loops and holes in (s, t); even–odd rule. */
  loops: Vec2[][];
  /** Index in `SceneModel.materials`. */
  material: number;
  /** Painted on this face, later over earlier (ground: lawn, gravel, path; a bay of other stone). */
  patches: FacePatch[];
  /** Rectangles in (s, t) hidden behind something fixed to the face (course, lintel, sill, hood): no valid samples. */
  covers: { s0: number; t0: number; s1: number; t1: number }[];
  /** Own luminance, cd/m² (textbook panels). */
  luminanceCdM2: number;
  emissionCctK: number;
  /** Finest grid this face may ask for, metres; big plain faces need not go below 0.04. */
  finestM: number;
  /** False: too small or too dark to sample (still an occluder); light read from its neighbour `face`. */
  sampled: boolean;
  /** Face whose light a face without samples of its own takes (its mean). */
  neighbourId?: string;
}
export type FaceKind =
  | 'wall'
  | 'wallTop'
  | 'reveal'
  | 'course'
  | 'sill'
  | 'lintel'
  | 'door'
  | 'frame'
  | 'roof'
  | 'soffit'
  | 'fascia'
  | 'gable'
  | 'column'
  | 'tread'
  | 'riser'
  | 'stepSide'
  | 'box'
  | 'panel'
  | 'hood'
  | 'tub'
  | 'ground'
  | 'kerb'
  | 'water'
  | 'sphere';

export interface FacePatch {
  id: string;
  use: string;
  /** One polygon in (s, t). */
  loop: Vec2[];
  material: number;
}

/** Opaque triangles, 9 numbers each. `face[i]`: index of the face it belongs to, −1 for strands and hidden shell. */
export interface TriangleSoup {
  count: number;
  positionsM: Float32Array;
  face: Int32Array;
  /** Index into `partIds`. */
  part: Int32Array;
  partIds: string[];
}

/** Closed convex solid as planes: inside where n·p ≤ d for all; 4 numbers (nx, ny, nz, d) a plane. */
export interface ConvexBlock {
  partId: string;
  planes: Float32Array;
  min: Vec3;
  max: Vec3;
}

/** A swept bar: railing bar, post, rail, trunk, limb. Rings carry light samples; triangles are in `occluders` when thick. */
export interface Strand {
  /** `partId/bar-3`, `plantId/limb-0`. */
  id: string;
  partId: string;
  section: 'round' | 'square';
  /** Centre line, 3 numbers a ring. */
  ringsM: Float32Array;
  radiiM: Float32Array;
  /** Vertices a ring. */
  sides: number;
  material: number;
  /** Limbs over 3 cm, bars and posts throw hard shadows. */
  occludes: boolean;
}

/** Leaves painted on cards: `fine` is broad leaves small against their card; `twig` a bare sprig. */
export type LeafSheet = 'broad' | 'fine' | 'narrow' | 'box' | 'needle' | 'frond' | 'blade' | 'ivy' | 'twig';

/** Leaves of one plant: spheres of leaf area for optical depth, and the cards that are drawn and lit. */
export interface PlantModel {
  id: string;
  name: string;
  habit: string;
  /** Bounding sphere of all clumps. */
  centre: Vec3;
  radiusM: number;
  /** Clumps: x, y, z, radius, leaf area density (m²/m³) of the clump's own cards; 5 numbers each. */
  clumps: Float32Array;
  /** Clumping index Ω within a clump (0.7). */
  clumping: number;
  /** Cards: x, y, z, nx, ny, nz, side (m), clump index; 8 numbers each. */
  cards: Float32Array;
  /** Per card: spin about its normal (rad), leaf tile 0…3, brightness factor .5…1.4; 3 numbers each. */
  cardLook: Float32Array;
  /** Which leaves the cards show. */
  leafSheet: LeafSheet;
  /** Share of a card that is leaf (or twig): one-sided area = `cardCover` · side². */
  cardCover: number;
  /** Keeps its leaves in winter: a bare season takes no light way from it. */
  evergreen: boolean;
  leafReflectanceRgb: readonly [number, number, number];
  leafTransmittanceRgb: readonly [number, number, number];
  /** Summary: one-sided leaf area and crown volume. */
  leafAreaM2: number;
  crownVolumeM3: number;
  /** Bark look of its strands. */
  bark: 'brown' | 'pale' | 'grey';
}

export interface LeafEllipsoid {
  id: string;
  centre: Vec3;
  radiiM: Vec3;
  leafAreaDensityM2M3: number;
  clumping: number;
}

/** A window pane: occludes (the room behind is closed), shows its room, and emits when lit. */
export interface Pane {
  /** `wallId/openingId`. */
  id: string;
  origin: Vec3;
  u: Vec3;
  v: Vec3;
  normal: Vec3;
  widthM: number;
  heightM: number;
  panesAcross: number;
  panesUp: number;
  litCdM2: number;
  litCctK: number;
  frameMaterial: number;
}
