import { z } from 'zod';
import { finite, known, label, materialRef, positiveM, recordId, vec2, vec3 } from './common.ts';

/** A hole in a wall: window, door or blank recess. `alongM` runs from the wall's `from` point to the opening's centre. */
export const openingRecord = z.strictObject({
  id: recordId,
  name: label.default(''),
  kind: z.enum(['window', 'door', 'blank']),
  alongM: finite.min(0),
  sillM: finite.min(0),
  widthM: positiveM.max(30),
  heightM: positiveM.max(15),
  /** Depth from the wall's face to the pane or door leaf. */
  revealM: z.number().min(0).max(1).default(0.1),
  /** Glazing bars: panes across and up (1, 1 = one sheet). Doors: leaf panels across and up. */
  panesAcross: z.int().min(1).max(12).default(2),
  panesUp: z.int().min(1).max(12).default(2),
  frameMaterial: materialRef.default('paintedTimberWhite'),
  leafMaterial: materialRef.default('paintedTimberGreen'),
  /** Projecting stone sill and lintel; 0 = none. */
  sillProjectionM: z.number().min(0).max(0.5).default(0.05),
  sillHeightM: z.number().min(0).max(0.5).default(0.08),
  lintelHeightM: z.number().min(0).max(0.8).default(0),
  lintelProjectionM: z.number().min(0).max(0.5).default(0.015),
  trimMaterial: materialRef.default('limestone'),
  /** Mean luminance of the lit room seen through the pane, cd/m²; 0 = dark. One number lights the garden and is shown. */
  litCdM2: z.number().min(0).max(2000).default(0),
  litCctK: z.number().min(1000).max(20000).default(2700),
  known: known.optional(),
});
export type OpeningRecord = z.infer<typeof openingRecord>;

/** A projecting band along a wall (string course, plinth cap). */
export const courseRecord = z.strictObject({
  id: recordId,
  name: label.default(''),
  /** Underside above the wall's base. */
  undersideM: finite.min(0),
  heightM: positiveM.max(3),
  projectionM: positiveM.max(1),
  material: materialRef,
});
export type CourseRecord = z.infer<typeof courseRecord>;

const base = { id: recordId, name: label.default(''), known: known.optional() };

/** Walking from `from` to `to`, the outside is on the right-hand side. */
export const wallPart = z.strictObject({
  ...base,
  kind: z.literal('wall'),
  from: vec2,
  to: vec2,
  baseM: finite.default(0),
  heightM: positiveM.max(60),
  thicknessM: positiveM.max(3).default(0.3),
  material: materialRef,
  /** A wall one can walk around (garden wall, parapet): both faces, ends and top carry light. */
  freeStanding: z.boolean().default(false),
  copingMaterial: materialRef.optional(),
  openings: z.array(openingRecord).max(40).default([]),
  courses: z.array(courseRecord).max(20).default([]),
});

/** Roof over a rectangle: `centre` [x, z], `sizeM` [along x, along z] before overhang, turned by `bearingDeg` about +Y. */
export const roofPart = z.strictObject({
  ...base,
  kind: z.literal('roof'),
  form: z.enum(['hip', 'gable', 'flat']),
  centre: vec2,
  sizeM: z.tuple([positiveM, positiveM]),
  bearingDeg: finite.default(0),
  eavesM: finite,
  /** Ridge height for hip and gable, top of the slab for flat. */
  ridgeM: finite,
  /** Gable: the ridge runs along local `x` or `z`. */
  ridgeAlong: z.enum(['x', 'z']).default('x'),
  overhangM: z.number().min(0).max(3).default(0),
  material: materialRef,
  soffitMaterial: materialRef.default('paintedTimberWhite'),
  gableMaterial: materialRef.optional(),
});

export const columnPart = z.strictObject({
  ...base,
  kind: z.literal('column'),
  /** Centre of the foot. */
  at: vec3,
  heightM: positiveM.max(30),
  widthM: positiveM.max(3),
  section: z.enum(['round', 'square']).default('square'),
  material: materialRef,
});

/** A flight: first riser at `at` (centre of the lowest edge), climbing toward `bearingDeg` (0 = toward −Z, 90 = +X). */
export const stepsPart = z.strictObject({
  ...base,
  kind: z.literal('steps'),
  at: vec3,
  bearingDeg: finite.default(0),
  widthM: positiveM.max(30),
  riserM: positiveM.max(0.5),
  treadM: positiveM.max(3),
  count: z.int().min(1).max(60),
  material: materialRef,
});

/** Axis-aligned box turned by `bearingDeg` about +Y through its centre. `inward`: a closed room seen from inside. */
export const boxPart = z.strictObject({
  ...base,
  kind: z.literal('box'),
  centre: vec3,
  sizeM: z.tuple([positiveM, positiveM, positiveM]),
  bearingDeg: finite.default(0),
  inward: z.boolean().default(false),
  material: materialRef,
});

/** Flat parallelogram `corner + s·u + t·v`, lit side along u × v. May carry a luminance of its own (Lambertian). */
export const panelPart = z.strictObject({
  ...base,
  kind: z.literal('panel'),
  corner: vec3,
  u: vec3,
  v: vec3,
  twoSided: z.boolean().default(false),
  luminanceCdM2: z.number().min(0).max(1e6).default(0),
  cctK: z.number().min(1000).max(20000).default(2700),
  material: materialRef,
});

export const spherePart = z.strictObject({
  ...base,
  kind: z.literal('sphere'),
  centre: vec3,
  radiusM: positiveM.max(100),
  inward: z.boolean().default(false),
  material: materialRef,
});

/** Vertical bars between two plan points with posts and two rails. */
export const railingPart = z.strictObject({
  ...base,
  kind: z.literal('railing'),
  from: vec2,
  to: vec2,
  baseM: finite.default(0),
  heightM: positiveM.max(4),
  barSpacingM: positiveM.max(2).default(0.12),
  barM: positiveM.max(0.2).default(0.016),
  postSpacingM: positiveM.max(10).default(2),
  postM: positiveM.max(0.5).default(0.04),
  material: materialRef.default('ironBlack'),
});

/** Flat canopy fixed to a wall: `at` = middle of its back edge at the underside, projecting toward `bearingDeg` (0 = −Z, 180 = +Z). */
export const hoodPart = z.strictObject({
  ...base,
  kind: z.literal('hood'),
  at: vec3,
  bearingDeg: finite.default(180),
  widthM: positiveM.max(20),
  depthM: positiveM.max(10),
  thicknessM: positiveM.max(1).default(0.12),
  brackets: z.boolean().default(true),
  material: materialRef,
});

export const tubPart = z.strictObject({
  ...base,
  kind: z.literal('tub'),
  at: vec3,
  heightM: positiveM.max(3),
  topWidthM: positiveM.max(5),
  footWidthM: positiveM.max(5),
  material: materialRef,
});

/** Sleeve or duct under paving; for cables only, throws no shadow. */
export const ductPart = z.strictObject({
  ...base,
  kind: z.literal('duct'),
  from: vec3,
  to: vec3,
  diameterM: positiveM.max(0.5),
});

/**
 * Pipe, gutter, handrail, door pull, bed edge, bench slat: one section led along `path` (its middle line). Lit by rings, throws
 * hard shadows.
 */
export const barPart = z.strictObject({
  ...base,
  kind: z.literal('bar'),
  path: z.array(vec3).min(2).max(200),
  /** Across flats of a square section, across a round one. */
  widthM: positiveM.max(1),
  section: z.enum(['round', 'square']).default('round'),
  material: materialRef.default('ironBlack'),
});

export const partRecord = z.discriminatedUnion('kind', [
  wallPart,
  roofPart,
  columnPart,
  stepsPart,
  boxPart,
  panelPart,
  spherePart,
  railingPart,
  hoodPart,
  tubPart,
  ductPart,
  barPart,
]);
export type PartRecord = z.infer<typeof partRecord>;
export type PartOf<K extends PartRecord['kind']> = Extract<PartRecord, { kind: K }>;

export const buildingRecord = z.strictObject({
  id: recordId,
  name: label,
  parts: z.array(partRecord).max(5000),
});
export type BuildingRecord = z.infer<typeof buildingRecord>;
