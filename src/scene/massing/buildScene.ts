import type { PartRecord, PropertyDocument, Vec3, Vec2 } from '../records/index.ts';
import { buildBar } from './bar.ts';
import { buildBox, buildPanel } from './box.ts';
import { SceneBuilder } from './builder.ts';
import { buildColumn, buildTub } from './column.ts';
import { markCovers } from './covers.ts';
import { facePoint } from './face.ts';
import { buildGround, groundHeight, lowestGroundM } from './ground.ts';
import { buildHood } from './hood.ts';
import { buildHouse } from './house.ts';
import { findHouses, findJoints, type House, type WallPart } from './joints.ts';
import { buildPlanting } from './plants.ts';
import { buildRailing } from './railing.ts';
import { buildRoof } from './roof.ts';
import { toBlock } from './solid.ts';
import { buildSphere } from './sphere.ts';
import { buildSteps } from './steps.ts';
import type { SceneModel, TriangleSoup } from './types.ts';
import { viewerPlaces } from './viewers.ts';
import { buildWall } from './wall.ts';

export interface BuildSceneOptions {
  /** False: plants are left out (limbs, leaves); textbook crowns stay. */
  growPlants?: boolean;
}

/**
 * Turns the records of a property into what light meets: flat faces, triangles in the way, solid bodies, strands, plants.
 * Pure and deterministic; the same document gives the same scene, number for number.
 */
export function buildScene(document: PropertyDocument, options: BuildSceneOptions = {}): SceneModel {
  const b = new SceneBuilder();
  buildGround(b, document.ground, document.water);
  for (const building of document.buildings) {
    const walls = building.parts.filter((p): p is WallPart => p.kind === 'wall');
    const houses = findHouses(walls);
    for (const house of houses) buildHouse(b, house);
    for (const part of building.parts) buildPart(b, part, document, walls, houses);
  }
  markCovers(b.faces, b.solids, (x, z) => groundHeight(document.ground, x, z));
  const { plants, ellipsoids } = buildPlanting(b, document.planting, options.growPlants ?? true, document.site.season);
  const { boundary } = document.site;
  const scene: SceneModel = {
    faces: b.faces,
    occluders: toSoup(b),
    blocks: b.solids.filter((s) => s.isBlock).map(toBlock),
    strands: b.strands,
    plants,
    ellipsoids,
    panes: b.panes,
    materials: b.materials,
    viewersM: viewerPlaces(document),
    ...(boundary && { lotM: boundsOfOutline(boundary) }),
    boundsMin: [0, 0, 0],
    boundsMax: [0, 0, 0],
  };
  return { ...scene, ...boundsOfScene(scene) };
}

function buildPart(b: SceneBuilder, part: PartRecord, document: PropertyDocument, walls: WallPart[], houses: House[]): void {
  switch (part.kind) {
    case 'wall':
      buildWall(b, part, {
        joints: findJoints(part, walls),
        lidM: houses.find((h) => h.walls.includes(part))?.lidM,
        groundM: lowestGroundM(document.ground, part.from, part.to),
      });
      break;
    case 'roof':
      buildRoof(b, part, houses);
      break;
    case 'column':
      buildColumn(b, part);
      break;
    case 'steps':
      buildSteps(b, part);
      break;
    case 'box':
      buildBox(b, part);
      break;
    case 'panel':
      buildPanel(b, part);
      break;
    case 'sphere':
      buildSphere(b, part);
      break;
    case 'railing':
      buildRailing(b, part);
      break;
    case 'hood':
      buildHood(b, part);
      break;
    case 'tub':
      buildTub(b, part);
      break;
    case 'bar':
      buildBar(b, part);
      break;
    case 'duct':
      /* Buried: a way for cables, nothing that light meets. */
      break;
  }
}

function toSoup(b: SceneBuilder): TriangleSoup {
  const own = b.triangleFace.length;
  const count = b.readyMade.reduce((n, { positionsM }) => n + positionsM.length / 9, own);
  const soup: TriangleSoup = {
    count,
    positionsM: new Float32Array(count * 9),
    face: new Int32Array(count).fill(-1),
    part: new Int32Array(count),
    partIds: b.partIds,
  };
  soup.positionsM.set(b.positions);
  soup.face.set(b.triangleFace);
  soup.part.set(b.trianglePart);
  let at = own;
  for (const { part, positionsM } of b.readyMade) {
    soup.positionsM.set(positionsM, at * 9);
    soup.part.fill(part, at, at + positionsM.length / 9);
    at += positionsM.length / 9;
  }
  return soup;
}

const POINT = [0, 0, 0] as const;

/** Box round everything that carries or stops light; a point at the origin when there is nothing. */
function boundsOfScene(scene: SceneModel): { boundsMin: Vec3; boundsMax: Vec3 } {
  const min: [number, number, number] = [Infinity, Infinity, Infinity];
  const max: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  const take = (x: number, y: number, z: number, r: readonly [number, number, number] = POINT) => {
    if (x - r[0] < min[0]) min[0] = x - r[0];
    if (y - r[1] < min[1]) min[1] = y - r[1];
    if (z - r[2] < min[2]) min[2] = z - r[2];
    if (x + r[0] > max[0]) max[0] = x + r[0];
    if (y + r[1] > max[1]) max[1] = y + r[1];
    if (z + r[2] > max[2]) max[2] = z + r[2];
  };
  for (const face of scene.faces) for (const [s, t] of face.loops[0] ?? []) take(...facePoint(face, s, t));
  const p = scene.occluders.positionsM;
  for (let i = 0; i < p.length; i += 3) take(p[i]!, p[i + 1]!, p[i + 2]!);
  for (const strand of scene.strands) {
    strand.radiiM.forEach((r, i) => {
      take(strand.ringsM[i * 3]!, strand.ringsM[i * 3 + 1]!, strand.ringsM[i * 3 + 2]!, [r, r, r]);
    });
  }
  for (const { centre, radiusM } of scene.plants) take(...centre, [radiusM, radiusM, radiusM]);
  for (const { centre, radiiM } of scene.ellipsoids) take(...centre, radiiM);
  if (min[0] === Infinity) return { boundsMin: [0, 0, 0], boundsMax: [0, 0, 0] };
  return { boundsMin: min, boundsMax: max };
}

/**
 * Triangles of the dark liner, floors and backs: what closes a body but belongs to no face, pane or strand; 9 numbers each.
 * Drawn black they keep the sky from showing where faces meet at T-junctions.
 */
export function linerTriangles(scene: Pick<SceneModel, 'occluders' | 'panes' | 'strands'>): Float32Array {
  const { occluders } = scene;
  const open = new Set([...scene.panes.map((p) => p.id), ...scene.strands.map((s) => s.partId)]);
  const kept: number[] = [];
  for (let i = 0; i < occluders.count; i++) {
    if (occluders.face[i] !== -1 || open.has(occluders.partIds[occluders.part[i]!]!)) continue;
    for (let k = i * 9; k < i * 9 + 9; k++) kept.push(occluders.positionsM[k]!);
  }
  return Float32Array.from(kept);
}

function boundsOfOutline(outline: readonly Vec2[]): { min: Vec2; max: Vec2 } {
  const [x, z] = [outline.map((p) => p[0]), outline.map((p) => p[1])];
  return { min: [Math.min(...x), Math.min(...z)], max: [Math.max(...x), Math.max(...z)] };
}
