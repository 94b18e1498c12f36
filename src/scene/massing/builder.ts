import { findMaterial } from '../../materials/index.ts';
import type { MaterialRef, Vec2, Vec3 } from '../records/index.ts';
import { facePoint, normaliseLoops, triangulateFace } from './face.ts';
import { boxSolid, prismSolid, ringNormal, type Solid } from './solid.ts';
import type { Face, FaceKind, Pane, SceneMaterial, Strand } from './types.ts';
import { cross, dot, length, rectLoop, sub, unit } from './vec.ts';

/** Finest grid a face of each kind may ask for, metres. */
const FINEST_M: Record<FaceKind, number> = {
  wall: 0.02,
  wallTop: 0.02,
  reveal: 0.02,
  course: 0.02,
  sill: 0.02,
  lintel: 0.02,
  door: 0.02,
  frame: 0.02,
  roof: 0.04,
  soffit: 0.02,
  fascia: 0.04,
  gable: 0.02,
  column: 0.02,
  tread: 0.02,
  riser: 0.02,
  stepSide: 0.02,
  box: 0.02,
  panel: 0.02,
  hood: 0.02,
  tub: 0.02,
  ground: 0.02,
  kerb: 0.02,
  water: 0.08,
  sphere: 0.02,
};

/** Faces smaller than this carry no samples of their own, square metres. */
const SMALLEST_SAMPLED_M2 = 0.01;

export interface FaceInput {
  id: string;
  partId: string;
  name: string;
  kind: FaceKind;
  origin: Vec3;
  u: Vec3;
  v: Vec3;
  /** Either loops, or the size of a rectangle. */
  loops?: Vec2[][];
  size?: readonly [number, number];
  material: MaterialRef;
  luminanceCdM2?: number;
  emissionCctK?: number;
  /** Id of the face whose light a face too small for samples takes. */
  neighbourId?: string;
}

/** Collects faces, triangles, solids, strands and panes while the parts are built. */
export class SceneBuilder {
  readonly faces: Face[] = [];
  readonly solids: Solid[] = [];
  readonly strands: Strand[] = [];
  readonly panes: Pane[] = [];
  readonly materials: SceneMaterial[] = [];
  readonly positions: number[] = [];
  readonly triangleFace: number[] = [];
  readonly trianglePart: number[] = [];
  readonly partIds: string[] = [];
  /** Triangles that came ready made, after all others. */
  readonly readyMade: { part: number; positionsM: Float32Array }[] = [];
  private readonly materialIndex = new Map<string, number>();
  private readonly partIndex = new Map<string, number>();

  material(ref: MaterialRef): number {
    const id = typeof ref === 'string' ? ref : `bare-${ref.reflectance}`;
    let index = this.materialIndex.get(id);
    if (index === undefined) {
      index = this.materials.length;
      this.materials.push({ id, reflectanceRgb: reflectanceOf(ref), ref });
      this.materialIndex.set(id, index);
    }
    return index;
  }

  part(id: string): number {
    let index = this.partIndex.get(id);
    if (index === undefined) {
      index = this.partIds.length;
      this.partIds.push(id);
      this.partIndex.set(id, index);
    }
    return index;
  }

  /** Adds a flat face and its triangles; loops are moved so that s and t begin at 0. */
  face(input: FaceInput): Face {
    const { loops, s0, t0, widthM, heightM } = normaliseLoops(input.loops ?? [rectLoop(0, 0, ...(input.size ?? [0, 0]))]);
    const face: Face = {
      id: input.id,
      partId: input.partId,
      name: input.name,
      kind: input.kind,
      origin: facePoint(input, s0, t0),
      u: input.u,
      v: input.v,
      normal: cross(input.u, input.v),
      widthM,
      heightM,
      loops,
      material: this.material(input.material),
      patches: [],
      covers: [],
      luminanceCdM2: input.luminanceCdM2 ?? 0,
      emissionCctK: input.emissionCctK ?? 2700,
      finestM: FINEST_M[input.kind],
      sampled: widthM * heightM >= SMALLEST_SAMPLED_M2 || input.neighbourId === undefined,
      ...(input.neighbourId === undefined ? {} : { neighbourId: input.neighbourId }),
    };
    this.faces.push(face);
    this.triangulate(face, this.faces.length - 1);
    return face;
  }

  /**
   * Flat face with corners in world space, counter-clockwise seen from its lit side; `u` runs along the first edge. Doubled
   * corners are dropped; a ring without area gives no face.
   */
  polygonFace(input: Omit<FaceInput, 'origin' | 'u' | 'v' | 'loops' | 'size'>, ring: Vec3[]): void {
    const corners = ring.filter((p, i) => length(sub(p, ring[(i + 1) % ring.length]!)) > 1e-9);
    if (corners.length < 3) return;
    const origin = corners[0]!;
    const normal = ringNormal(corners);
    const u = unit(sub(corners[1]!, origin));
    const v = cross(normal, u);
    const loop = corners.map((p): Vec2 => {
      const q = sub(p, origin);
      return [dot(q, u), dot(q, v)];
    });
    if (length(normal) > 0) this.face({ ...input, origin, u, v, loops: [loop] });
  }

  private triangulate(face: Face, index: number): void {
    const st = triangulateFace(face);
    const part = this.part(face.partId);
    for (let i = 0; i < st.length; i += 6) {
      for (let k = 0; k < 6; k += 2) this.positions.push(...facePoint(face, st[i + k]!, st[i + k + 1]!));
      this.triangleFace.push(index);
      this.trianglePart.push(part);
    }
  }

  /** Triangle that only stands in the way. */
  occluder(partId: string, a: Vec3, b: Vec3, c: Vec3): void {
    this.positions.push(...a, ...b, ...c);
    this.triangleFace.push(-1);
    this.trianglePart.push(this.part(partId));
  }

  /** Triangles made before that only stand in the way, 9 numbers each. */
  occluders(partId: string, positionsM: Float32Array): void {
    this.readyMade.push({ part: this.part(partId), positionsM });
  }

  /** Convex ring that only stands in the way. */
  occluderRing(partId: string, ring: readonly Vec3[]): void {
    for (let i = 1; i + 1 < ring.length; i++) this.occluder(partId, ring[0]!, ring[i]!, ring[i + 1]!);
  }

  /** Box body from a corner and three edge vectors; hides what it stands against. */
  box(partId: string, corner: Vec3, a: Vec3, b: Vec3, c: Vec3): void {
    this.solids.push(boxSolid(partId, corner, a, b, c));
  }

  /** Prism or frustum body between two convex rings. */
  solid(partId: string, bottom: Vec3[], top: Vec3[]): void {
    this.solids.push(prismSolid(partId, bottom, top));
  }
}

function reflectanceOf(ref: MaterialRef): readonly [number, number, number] {
  if (typeof ref !== 'string') return [ref.reflectance, ref.reflectance, ref.reflectance];
  /* The validator refuses unknown ids; a grey keeps a half-edited document in view. */
  return findMaterial(ref)?.reflectanceRgb ?? [0.3, 0.3, 0.3];
}
