import { cctToLinearRgb } from '../../exposure/index.ts';
import type { Face, SceneModel, Vec3 } from '../../scene/index.ts';
import type { Rgb } from '../types.ts';
import { insideLoops, loopArea } from './clip.ts';
import { sobol } from './sequence.ts';
import type { BounceCaster } from './types.ts';

/** Visibility rays end this far before the pane, metres: the pane itself is an occluder. */
const SHORT_M = 0.01;

/** A flat thing with a luminance of its own: a lit pane or a luminous panel. One number shows it and lights with it. */
export interface Emitter {
  id: string;
  /** Corners in order, world axes. */
  corners: Vec3[];
  normal: Vec3;
  centre: Vec3;
  /** Half the longest side of its bounds. */
  reachM: number;
  areaM2: number;
  /** Sides of its bounds. */
  edges: readonly [Vec3, Vec3];
  /** Luminance, RGB cd/m². */
  luminanceRgb: Rgb;
  /** A point on it from two numbers 0…1; `undefined` where the outline does not reach. */
  pointAt(p: number, q: number): Vec3 | undefined;
}

/** Lit panes and luminous faces of a scene. */
export function emittersOf(scene: SceneModel): Emitter[] {
  const panes = scene.panes
    .filter((pane) => pane.litCdM2 > 0)
    .map((pane) => {
      const loop: [number, number][] = [
        [0, 0],
        [pane.widthM, 0],
        [pane.widthM, pane.heightM],
        [0, pane.heightM],
      ];
      return emitter({ ...pane, loop }, pane.litCdM2, pane.litCctK);
    });
  const faces = scene.faces
    .filter((face) => face.luminanceCdM2 > 0 && face.loops.length > 0)
    .map((face) => emitter({ ...face, loop: face.loops[0]! }, face.luminanceCdM2, face.emissionCctK));
  return [...panes, ...faces];
}

type Outline = Pick<Face, 'id' | 'origin' | 'u' | 'v' | 'normal' | 'widthM' | 'heightM'> & {
  loop: readonly (readonly [number, number])[];
};

function emitter(shape: Outline, luminanceCdM2: number, cctK: number): Emitter {
  const world = (s: number, t: number): Vec3 => [
    shape.origin[0] + s * shape.u[0] + t * shape.v[0],
    shape.origin[1] + s * shape.u[1] + t * shape.v[1],
    shape.origin[2] + s * shape.u[2] + t * shape.v[2],
  ];
  const colour = cctToLinearRgb(Math.min(15000, Math.max(1000, cctK)));
  const loop = shape.loop.map(([s, t]): [number, number] => [s, t]);
  const areaM2 = loopArea(loop);
  const rectangle = areaM2 > (1 - 1e-9) * shape.widthM * shape.heightM;
  return {
    id: shape.id,
    corners: loop.map(([s, t]) => world(s, t)),
    normal: shape.normal,
    centre: world(shape.widthM / 2, shape.heightM / 2),
    reachM: Math.max(shape.widthM, shape.heightM) / 2,
    areaM2,
    edges: [
      [shape.widthM * shape.u[0], shape.widthM * shape.u[1], shape.widthM * shape.u[2]],
      [shape.heightM * shape.v[0], shape.heightM * shape.v[1], shape.heightM * shape.v[2]],
    ],
    luminanceRgb: [colour[0] * luminanceCdM2, colour[1] * luminanceCdM2, colour[2] * luminanceCdM2],
    pointAt(p, q) {
      const [s, t] = [p * shape.widthM, q * shape.heightM];
      return rectangle || insideLoops(s, t, [loop]) ? world(s, t) : undefined;
    },
  };
}

/** Corners of the polygon above the receiver's horizon, from the receiver. */
let above = new Float64Array(24);

/**
 * Configuration factor of a polygon at a point: Lambert's sum over its edges, F = Σ β·(n·g)/2π, with β the angle an edge
 * subtends and g the unit normal of the plane through it and the point; the polygon is cut at the receiver's horizon first.
 * E = π·L·F. 0 behind the polygon.
 * @source J. H. Lambert, Photometria, 1760; as in Howell's catalogue of configuration factors.
 */
export function polygonFactor(corners: readonly Vec3[], emitterNormal: Vec3, p: ArrayLike<number>, n: ArrayLike<number>): number {
  const first = corners[0]!;
  const height =
    (p[0]! - first[0]) * emitterNormal[0] + (p[1]! - first[1]) * emitterNormal[1] + (p[2]! - first[2]) * emitterNormal[2];
  if (height <= 1e-6) return 0;
  let n3 = 0;
  if (above.length < corners.length * 6) above = new Float64Array(corners.length * 6);
  for (let i = 0; i < corners.length; i++) {
    const a = corners[i]!;
    const b = corners[(i + 1) % corners.length]!;
    const ha = (a[0] - p[0]!) * n[0]! + (a[1] - p[1]!) * n[1]! + (a[2] - p[2]!) * n[2]!;
    const hb = (b[0] - p[0]!) * n[0]! + (b[1] - p[1]!) * n[1]! + (b[2] - p[2]!) * n[2]!;
    if (ha >= 0) for (let c = 0; c < 3; c++) above[n3++] = a[c as 0]! - p[c]!;
    if (ha >= 0 !== hb >= 0) {
      const k = ha / (ha - hb);
      for (let c = 0; c < 3; c++) above[n3++] = a[c as 0]! + (b[c as 0]! - a[c as 0]!) * k - p[c]!;
    }
  }
  let sum = 0;
  for (let i = 0; i < n3; i += 3) {
    const j = i + 3 === n3 ? 0 : i + 3;
    sum += edgeTerm(above[i]!, above[i + 1]!, above[i + 2]!, above[j]!, above[j + 1]!, above[j + 2]!, n);
  }
  return Math.abs(sum) / (2 * Math.PI);
}

function edgeTerm(ax: number, ay: number, az: number, bx: number, by: number, bz: number, n: ArrayLike<number>): number {
  const gx = ay * bz - az * by;
  const gy = az * bx - ax * bz;
  const gz = ax * by - ay * bx;
  const length = Math.sqrt(gx * gx + gy * gy + gz * gz);
  if (length < 1e-15) return 0;
  const beta = Math.atan2(length, ax * bx + ay * by + az * bz);
  return (beta * (gx * n[0]! + gy * n[1]! + gz * n[2]!)) / length;
}

const pair = new Float64Array(2);

/**
 * Illuminance per cd/m² of an emitter at a point: π·F·V, V the mean transmittance of rays to points spread over it, each
 * weighted by what it would bring. `leaves` false leaves the leaves out.
 */
export function emitterLx(
  emitter: Emitter,
  caster: BounceCaster,
  p: ArrayLike<number>,
  n: ArrayLike<number>,
  rays: number,
  seed: number,
  leaves: boolean,
): number {
  const F = polygonFactor(emitter.corners, emitter.normal, p, n);
  if (F < 1e-9) return 0;
  let [open, all] = [0, 0];
  for (let k = 0, tries = 0; k < rays && tries < rays * 8; tries++) {
    sobol(tries, seed, pair);
    const target = emitter.pointAt(pair[0]!, pair[1]!);
    if (!target) continue;
    k++;
    const x = target[0] - p[0]!;
    const y = target[1] - p[1]!;
    const z = target[2] - p[2]!;
    const d = Math.sqrt(x * x + y * y + z * z);
    const cosHere = (x * n[0]! + y * n[1]! + z * n[2]!) / d;
    const cosThere = -(x * emitter.normal[0] + y * emitter.normal[1] + z * emitter.normal[2]) / d;
    if (cosHere <= 0 || cosThere <= 0) continue;
    const weight = (cosHere * cosThere) / (d * d);
    all += weight;
    const reach = d - SHORT_M;
    if (reach > 0 && caster.blocked(p[0]!, p[1]!, p[2]!, x / d, y / d, z / d, reach)) continue;
    open += weight * (leaves ? caster.leafTransmittance(p[0]!, p[1]!, p[2]!, x / d, y / d, z / d, d) : 1);
  }
  return all > 0 ? (Math.PI * F * open) / all : 0;
}

/** Rays of each place among leaves toward an emitter. */
const LEAF_RAYS = 2;

/** Mean illuminance per cd/m² over both sides of leaves lying every way, at places among them: ¼·∫T dω over the emitter. */
export function emitterOnLeavesLx(emitter: Emitter, caster: BounceCaster, points: Float64Array, seed: number): number {
  const [u, v] = emitter.edges;
  const area = Math.hypot(...u) * Math.hypot(...v);
  let sum = 0;
  for (let k = 0; k < points.length; k += 3) {
    for (let r = 0; r < LEAF_RAYS; r++) {
      sobol(r, seed + k, pair);
      const target = emitter.pointAt(pair[0]!, pair[1]!);
      if (!target) continue;
      const [px, py, pz] = [points[k]!, points[k + 1]!, points[k + 2]!];
      const [x, y, z] = [target[0] - px, target[1] - py, target[2] - pz];
      const d = Math.max(0.05, Math.hypot(x, y, z));
      const cos = -(x * emitter.normal[0] + y * emitter.normal[1] + z * emitter.normal[2]) / d;
      if (cos <= 0 || caster.blocked(px, py, pz, x / d, y / d, z / d, d - SHORT_M)) continue;
      sum += ((cos * area) / (d * d)) * caster.leafTransmittance(px, py, pz, x / d, y / d, z / d, d);
    }
  }
  return (sum * 3) / (4 * LEAF_RAYS * points.length);
}
