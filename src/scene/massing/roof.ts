import type { PartOf, Vec3 } from '../records/index.ts';
import type { SceneBuilder } from './builder.ts';
import type { House } from './joints.ts';
import { pointInLoops } from './polygon.ts';
import { prismSolid } from './solid.ts';
import { bearingAxes, scale } from './vec.ts';

type RoofPart = PartOf<'roof'>;

/** Upright depth of the roof's edge where it overhangs, or where no house closes it from below. */
const EDGE_DEPTH_M = 0.12;
/** A roof whose eaves lie this near a house's lid sits on that house. */
const SEAT_M = 0.35;

/**
 * Measures of a roof in its own frame: x along the ridge, z across it, half sizes at the walls (`wallX`, `wallZ`) and at the
 * edge (`edgeX`, `edgeZ`). The underside passes through the wall line at `eavesM`; the upper side lies `depthM` above it and
 * ends at `ridgeM`: tan(pitch) = (ridgeM − depthM − eavesM) / wallZ. Overhangs run on down the slope.
 */
interface RoofShape {
  part: RoofPart;
  wallX: number;
  wallZ: number;
  edgeX: number;
  edgeZ: number;
  depthM: number;
  tanPitch: number;
  onHouse: boolean;
  at(x: number, z: number, y: number): Vec3;
  /** Upper side over the distance z from the ridge line. */
  topAt(z: number): number;
}

/** Slope of a hip or gable roof, as rise over run. Flat roofs: 0. */
function roofTanPitch(part: RoofPart, depthM: number): number {
  if (part.form === 'flat') return 0;
  const [sx, sz] = part.sizeM;
  const across = part.form === 'hip' ? Math.min(sx, sz) : part.ridgeAlong === 'x' ? sz : sx;
  return Math.max(0, part.ridgeM - depthM - part.eavesM) / (across / 2);
}

export function buildRoof(b: SceneBuilder, part: RoofPart, houses: readonly House[]): void {
  const onHouse = houses.some(
    (h) => Math.abs(h.lidM - part.eavesM) < SEAT_M && pointInLoops([h.loop], part.centre[0], -part.centre[1]),
  );
  if (part.form === 'flat') {
    buildFlat(b, part, onHouse);
    return;
  }
  const shape = roofShape(part, onHouse);
  if (part.form === 'hip') buildHip(b, shape);
  else buildGable(b, shape);
  if (onHouse) {
    const { wallX: x, wallZ: z, at } = shape;
    b.occluderRing(part.id, [at(-x, z, part.eavesM), at(x, z, part.eavesM), at(x, -z, part.eavesM), at(-x, -z, part.eavesM)]);
  }
  buildAttic(b, shape);
}

function roofShape(part: RoofPart, onHouse: boolean): RoofShape {
  const [sx, sz] = part.sizeM;
  const turned = part.form === 'hip' ? sz > sx : part.ridgeAlong === 'z';
  const { forward, right } = bearingAxes(part.bearingDeg);
  const ex = turned ? forward : right;
  const ez = turned ? right : scale(forward, -1);
  const wallX = (turned ? sz : sx) / 2;
  const wallZ = (turned ? sx : sz) / 2;
  const depthM = part.overhangM > 0 || !onHouse ? Math.min(EDGE_DEPTH_M, Math.max(0, part.ridgeM - part.eavesM) / 2) : 0;
  const tanPitch = roofTanPitch(part, depthM);
  return {
    part,
    wallX,
    wallZ,
    edgeX: wallX + part.overhangM,
    edgeZ: wallZ + part.overhangM,
    depthM,
    tanPitch,
    onHouse,
    at: (x, z, y) => [part.centre[0] + x * ex[0] + z * ez[0], y, part.centre[1] + x * ex[2] + z * ez[2]],
    topAt: (z) => part.eavesM + depthM + (wallZ - Math.abs(z)) * tanPitch,
  };
}

function face(part: RoofPart, side: string, kind: 'roof' | 'soffit' | 'fascia' | 'gable') {
  const material =
    kind === 'roof' ? part.material : kind === 'gable' ? (part.gableMaterial ?? part.material) : part.soffitMaterial;
  return { id: `${part.id}/${side}`, partId: part.id, name: `${part.name || part.id}, ${side}`, kind, material };
}

/** Four slopes of one pitch; slopes 1 and 3 are the long ones. */
function buildHip(b: SceneBuilder, r: RoofShape): void {
  const { part, edgeX: X, edgeZ: Z, depthM, at, topAt } = r;
  const ridge = X - Z;
  const edge = topAt(Z);
  const top = topAt(0);
  /* Corners of the edge, walked with the outside on the right, and the end of the ridge each slope rises to. */
  const corners: [number, number][] = [
    [-X, Z],
    [X, Z],
    [X, -Z],
    [-X, -Z],
  ];
  const inner: [number, number][] = corners.map(([x, z]) => [Math.sign(x) * r.wallX, Math.sign(z) * r.wallZ]);
  const peak = (x: number, y: number) => at(Math.sign(x) * ridge, 0, y);
  corners.forEach(([x0, z0], i) => {
    const j = (i + 1) % 4;
    const [x1, z1] = corners[j]!;
    b.polygonFace(face(part, `slope-${i + 1}`, 'roof'), [at(x0, z0, edge), at(x1, z1, edge), peak(x1, top), peak(x0, top)]);
    if (depthM === 0) return;
    const low = edge - depthM;
    b.polygonFace(face(part, `fascia-${i + 1}`, 'fascia'), [
      at(x0, z0, low),
      at(x1, z1, low),
      at(x1, z1, edge),
      at(x0, z0, edge),
    ]);
    const to = r.onHouse
      ? [at(...inner[i]!, part.eavesM), at(...inner[j]!, part.eavesM)]
      : [peak(x0, top - depthM), peak(x1, top - depthM)];
    if (!r.onHouse || part.overhangM > 0)
      b.polygonFace(face(part, `soffit-${i + 1}`, 'soffit'), [at(x1, z1, low), at(x0, z0, low), ...to]);
  });
}

/** Two slopes, two gable ends in the plane of the walls, fascia along eaves and verges. */
function buildGable(b: SceneBuilder, r: RoofShape): void {
  const { part, edgeX: X, edgeZ: Z, depthM, at, topAt } = r;
  for (const [i, side] of [1, -1].entries()) {
    const p = (x: number, z: number, drop = 0) => at(side * x, side * z, topAt(z) - drop);
    const k = i + 1;
    b.polygonFace(face(part, `slope-${k}`, 'roof'), [p(-X, Z), p(X, Z), p(X, 0), p(-X, 0)]);
    const under = (x: number, z: number) => p(x, z, depthM);
    b.polygonFace(face(part, `gable-${k}`, 'gable'), [under(r.wallX, r.wallZ), under(r.wallX, -r.wallZ), under(r.wallX, 0)]);
    if (depthM === 0) continue;
    b.polygonFace(face(part, `fascia-${k}`, 'fascia'), [under(-X, Z), under(X, Z), p(X, Z), p(-X, Z)]);
    b.polygonFace(face(part, `verge-${2 * k - 1}`, 'fascia'), [under(X, Z), under(X, 0), p(X, 0), p(X, Z)]);
    b.polygonFace(face(part, `verge-${2 * k}`, 'fascia'), [under(X, 0), under(X, -Z), p(X, -Z), p(X, 0)]);
    if (!r.onHouse) b.polygonFace(face(part, `soffit-${k}`, 'soffit'), [under(X, Z), under(-X, Z), under(-X, 0), under(X, 0)]);
    else if (part.overhangM > 0) {
      const { wallX: x, wallZ: z } = r;
      b.polygonFace(face(part, `soffit-${k}`, 'soffit'), [
        under(X, Z),
        under(-X, Z),
        under(-X, 0),
        under(-x, 0),
        under(-x, z),
        under(x, z),
        under(x, 0),
        under(X, 0),
      ]);
    }
  }
}

/** The closed space between lid and slopes. */
function buildAttic(b: SceneBuilder, r: RoofShape): void {
  const { part, wallX: x, wallZ: z, at } = r;
  const top = part.ridgeM - r.depthM;
  if (!r.onHouse || top <= part.eavesM) return;
  const ridge = part.form === 'hip' ? x - z : x;
  const foot = [at(-x, z, part.eavesM), at(x, z, part.eavesM), at(x, -z, part.eavesM), at(-x, -z, part.eavesM)];
  const peak = [at(-ridge, 0, top), at(ridge, 0, top), at(ridge, 0, top), at(-ridge, 0, top)];
  b.solids.push(prismSolid(part.id, foot, peak));
}

/** Slab from `eavesM` (underside) to `ridgeM` (top). */
function buildFlat(b: SceneBuilder, part: RoofPart, onHouse: boolean): void {
  const { forward, right } = bearingAxes(part.bearingDeg);
  const x = part.sizeM[0] / 2;
  const z = part.sizeM[1] / 2;
  const X = x + part.overhangM;
  const Z = z + part.overhangM;
  const top = Math.max(part.ridgeM, part.eavesM + 0.01);
  const at = (px: number, pz: number, y: number): Vec3 => [
    part.centre[0] + px * right[0] - pz * forward[0],
    y,
    part.centre[1] + px * right[2] - pz * forward[2],
  ];
  const ring = (hx: number, hz: number, y: number) => [at(-hx, hz, y), at(hx, hz, y), at(hx, -hz, y), at(-hx, -hz, y)];
  const upper = ring(X, Z, top);
  const lower = ring(X, Z, part.eavesM);
  b.polygonFace(face(part, 'top', 'roof'), upper);
  for (let i = 0; i < 4; i++) {
    const j = (i + 1) % 4;
    b.polygonFace(face(part, `fascia-${i + 1}`, 'fascia'), [lower[i]!, lower[j]!, upper[j]!, upper[i]!]);
  }
  if (onHouse) b.occluderRing(part.id, ring(x, z, part.eavesM));
  const rect = (hx: number, hz: number): [number, number][] => [
    [X - hx, Z - hz],
    [X + hx, Z - hz],
    [X + hx, Z + hz],
    [X - hx, Z + hz],
  ];
  if (!onHouse || part.overhangM > 0) {
    b.face({
      ...face(part, 'soffit', 'soffit'),
      origin: at(-X, -Z, part.eavesM),
      u: right,
      v: scale(forward, -1),
      loops: onHouse ? [rect(X, Z), rect(x, z)] : [rect(X, Z)],
    });
  }
  b.solid(part.id, lower, upper);
}
