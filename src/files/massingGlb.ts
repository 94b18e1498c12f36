import { Document, type Material, type Node, type Primitive, WebIO } from '@gltf-transform/core';
import { buildStrandMesh, facePoint, type SceneModel, triangulateFace } from '../scene/index.ts';

/** Areas painted on a face lie this far above it, each later one a step higher. */
const PAINT_LIFT_M = 0.002;

/** What goes along in the file's own words. */
export interface GlbNote {
  property: string;
  invented: boolean;
}

/** Triangles of one part in one material, three corners of three numbers each. */
interface Pile {
  partId: string;
  material: number;
  corners: number[];
}

/**
 * Massing as binary glTF 2.0 (Khronos; metres, +Y up): one node a part, one mesh a material, diffuse colour = the linear
 * reflectance that the light is computed with; limbs, bars and posts as tubes; leaves as plain quads of their cards' size. No
 * normals: the standard then asks for flat shading. Lights, light and reliefs are not in it.
 */
export async function massingGlb(scene: SceneModel, note: GlbNote): Promise<Blob> {
  const bytes = await new WebIO().writeBinary(massingDocument(scene, note));
  return new Blob([bytes as Uint8Array<ArrayBuffer>], { type: 'model/gltf-binary' });
}

function massingDocument(scene: SceneModel, note: GlbNote): Document {
  const document = new Document();
  document.getRoot().getAsset().generator = 'Gloaming';
  const buffer = document.createBuffer();
  const whole = document.createNode(note.property).setExtras({
    units: 'metre',
    up: '+Y',
    invented: note.invented,
    note: 'Massing of a lighting preview; leaves are plain quads.',
  });
  document.createScene(note.property).addChild(whole);
  const looks = scene.materials.map(({ id, reflectanceRgb }) => plain(document, id, reflectanceRgb));
  const glass = plain(document, 'glass', [0.04, 0.05, 0.06]);
  const parts = new Map<string, Node>();
  const nodeOf = (id: string): Node => {
    const found = parts.get(id) ?? document.createNode(id);
    if (!parts.has(id)) whole.addChild(found);
    parts.set(id, found);
    return found;
  };
  const add = (partId: string, corners: readonly number[], material: Material): void => {
    if (corners.length === 0) return;
    const position = document.createAccessor().setType('VEC3').setArray(Float32Array.from(corners)).setBuffer(buffer);
    const primitive: Primitive = document.createPrimitive().setAttribute('POSITION', position).setMaterial(material);
    const part = nodeOf(partId);
    const mesh = part.getMesh() ?? document.createMesh(partId);
    part.setMesh(mesh.addPrimitive(primitive));
  };
  for (const pile of [...facePiles(scene), ...strandPiles(scene)]) {
    add(pile.partId, pile.corners, looks[pile.material] ?? glass);
  }
  for (const pane of scene.panes) add(pane.id.split('/')[0] ?? pane.id, paneQuad(pane), glass);
  for (const plant of scene.plants) {
    const leaf = plain(document, `leaves of ${plant.id}`, plant.leafReflectanceRgb).setDoubleSided(true);
    add(plant.id, cardQuads(plant.cards), leaf);
  }
  return document;
}

function plain(document: Document, name: string, linearRgb: readonly [number, number, number]): Material {
  return document
    .createMaterial(name)
    .setBaseColorFactor([...linearRgb, 1])
    .setRoughnessFactor(1)
    .setMetallicFactor(0);
}

/** Triangles of every face in the way of light, by part and material; hidden shells and strands have no face. */
function facePiles(scene: SceneModel): Pile[] {
  const { count, positionsM, face, part, partIds } = scene.occluders;
  const piles = new Map<string, Pile>();
  for (let i = 0; i < count; i++) {
    const owner = scene.faces[face[i]!];
    if (!owner) continue;
    const partId = partIds[part[i]!] ?? owner.partId;
    pileFor(piles, partId, owner.material).corners.push(...positionsM.subarray(i * 9, i * 9 + 9));
  }
  for (const owner of scene.faces) {
    owner.patches.forEach((patch, order) => {
      const { corners } = pileFor(piles, owner.partId, patch.material);
      const st = triangulateFace({ ...owner, loops: [patch.loop], covers: [] });
      for (let i = 0; i < st.length; i += 2) {
        const p = facePoint(owner, st[i]!, st[i + 1]!);
        for (let k = 0; k < 3; k++) corners.push(p[k]! + owner.normal[k]! * PAINT_LIFT_M * (order + 1));
      }
    });
  }
  return [...piles.values()];
}

function strandPiles(scene: SceneModel): Pile[] {
  const piles = new Map<string, Pile>();
  for (const strand of scene.strands) {
    const { positions, indices } = buildStrandMesh(strand);
    const { corners } = pileFor(piles, strand.partId, strand.material);
    for (const k of indices) corners.push(positions[k * 3]!, positions[k * 3 + 1]!, positions[k * 3 + 2]!);
  }
  return [...piles.values()];
}

function pileFor(piles: Map<string, Pile>, partId: string, material: number): Pile {
  const key = `${partId}|${material}`;
  const pile = piles.get(key) ?? { partId, material, corners: [] };
  piles.set(key, pile);
  return pile;
}

function paneQuad(pane: SceneModel['panes'][number]): number[] {
  const corner = (a: number, b: number): number[] =>
    [0, 1, 2].map((k) => pane.origin[k]! + a * pane.widthM * pane.u[k]! + b * pane.heightM * pane.v[k]!);
  return [corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 0), corner(1, 1), corner(0, 1)].flat();
}

/** Two triangles a card: a square of its side, square to its normal. */
function cardQuads(cards: Float32Array): number[] {
  const corners: number[] = [];
  for (let at = 0; at + 7 < cards.length; at += 8) {
    const [x = 0, y = 0, z = 0, nx = 0, ny = 0, nz = 0, side = 0] = cards.subarray(at, at + 7);
    const level = Math.hypot(nx, nz);
    const u = level > 1e-4 ? [nz / level, 0, -nx / level] : [1, 0, 0];
    const v = [ny * u[2]! - nz * u[1]!, nz * u[0]! - nx * u[2]!, nx * u[1]! - ny * u[0]!];
    const h = side / 2;
    const corner = (a: number, b: number) => [
      x + h * (a * u[0]! + b * v[0]!),
      y + h * (a * u[1]! + b * v[1]!),
      z + h * (a * u[2]! + b * v[2]!),
    ];
    corners.push(...corner(-1, -1), ...corner(1, -1), ...corner(1, 1), ...corner(-1, -1), ...corner(1, 1), ...corner(-1, 1));
  }
  return corners;
}
