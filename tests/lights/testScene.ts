import type { Face, SceneModel, TriangleSoup, Vec3 } from '../../src/scene/index.ts';

/** Small hand-made scenes for tests of the solver: rectangles as faces, with or without their triangles. */
export interface RectOptions {
  id?: string;
  reflectance?: number;
  sampled?: boolean;
  occludes?: boolean;
  finestM?: number;
  luminanceCdM2?: number;
}

export class SceneSketch {
  readonly scene: SceneModel;
  private positions: number[] = [];
  private faceOf: number[] = [];
  private partOf: number[] = [];
  private partIds: string[] = [];

  constructor() {
    this.scene = {
      faces: [],
      occluders: {
        count: 0,
        positionsM: new Float32Array(),
        face: new Int32Array(),
        part: new Int32Array(),
        partIds: [],
      },
      blocks: [],
      strands: [],
      plants: [],
      ellipsoids: [],
      panes: [],
      materials: [],
      boundsMin: [-20, -20, -20],
      boundsMax: [20, 20, 20],
    };
  }

  material(reflectance: number): number {
    const id = `bare-${reflectance}`;
    const found = this.scene.materials.findIndex((m) => m.id === id);
    if (found >= 0) return found;
    this.scene.materials.push({
      id,
      reflectanceRgb: [reflectance, reflectance, reflectance],
      ref: { reflectance },
    });
    return this.scene.materials.length - 1;
  }

  /** Rectangle with corner, two edges; the normal is u × v. */
  rect(corner: Vec3, u: Vec3, v: Vec3, options: RectOptions = {}): number {
    const widthM = Math.hypot(...u);
    const heightM = Math.hypot(...v);
    const un = scale(u, 1 / widthM);
    const vn = scale(v, 1 / heightM);
    const id = options.id ?? `face-${this.scene.faces.length}`;
    const face: Face = {
      id,
      partId: id,
      name: id,
      kind: 'panel',
      origin: corner,
      u: un,
      v: vn,
      normal: cross(un, vn),
      widthM,
      heightM,
      loops: [
        [
          [0, 0],
          [widthM, 0],
          [widthM, heightM],
          [0, heightM],
        ],
      ],
      material: this.material(options.reflectance ?? 0.5),
      patches: [],
      covers: [],
      luminanceCdM2: options.luminanceCdM2 ?? 0,
      emissionCctK: 4000,
      finestM: options.finestM ?? 0.02,
      sampled: options.sampled ?? true,
    };
    this.scene.faces.push(face);
    const index = this.scene.faces.length - 1;
    if (options.occludes ?? true) {
      const c = (a: number, b: number): Vec3 => [
        corner[0] + a * u[0] + b * v[0],
        corner[1] + a * u[1] + b * v[1],
        corner[2] + a * u[2] + b * v[2],
      ];
      this.triangle(c(0, 0), c(1, 0), c(1, 1), index, id);
      this.triangle(c(0, 0), c(1, 1), c(0, 1), index, id);
    }
    return index;
  }

  triangle(a: Vec3, b: Vec3, c: Vec3, face = -1, partId = 'loose'): void {
    this.positions.push(...a, ...b, ...c);
    this.faceOf.push(face);
    let part = this.partIds.indexOf(partId);
    if (part < 0) part = this.partIds.push(partId) - 1;
    this.partOf.push(part);
  }

  /** Axis-aligned box, faces outward (or inward for a room). */
  box(min: Vec3, max: Vec3, options: RectOptions & { inward?: boolean; id: string }): void {
    const [x0, y0, z0] = min;
    const [x1, y1, z1] = max;
    const X: Vec3 = [x1 - x0, 0, 0];
    const Y: Vec3 = [0, y1 - y0, 0];
    const Z: Vec3 = [0, 0, z1 - z0];
    const sides: [string, Vec3, Vec3, Vec3][] = [
      ['x0', [x0, y0, z0], Z, Y],
      ['x1', [x1, y0, z0], Y, Z],
      ['y0', [x0, y0, z0], X, Z],
      ['y1', [x0, y1, z0], Z, X],
      ['z0', [x0, y0, z0], Y, X],
      ['z1', [x0, y0, z1], X, Y],
    ];
    for (const [side, corner, u, v] of sides) {
      const id = `${options.id}/${side}`;
      if (options.inward) this.rect(corner, v, u, { ...options, id });
      else this.rect(corner, u, v, { ...options, id });
    }
  }

  build(): SceneModel {
    const count = this.faceOf.length;
    const occluders: TriangleSoup = {
      count,
      positionsM: Float32Array.from(this.positions),
      face: Int32Array.from(this.faceOf),
      part: Int32Array.from(this.partOf),
      partIds: this.partIds,
    };
    this.scene.occluders = occluders;
    return this.scene;
  }
}

export function scale(a: Vec3, k: number): Vec3 {
  return [a[0] * k, a[1] * k, a[2] * k];
}

export function cross(a: Vec3, b: Vec3): Vec3 {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

/** Deterministic random numbers 0…1 (mulberry32). */
export function seeded(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = a;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}
