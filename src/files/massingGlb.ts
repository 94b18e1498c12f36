import { BufferAttribute, BufferGeometry, DoubleSide, Group, LinearSRGBColorSpace, Mesh, MeshStandardMaterial } from 'three';
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
 * reflectance that the light is computed with; limbs, bars and posts as tubes; leaves as plain quads of their cards' size. No normals: the
 * standard then asks for flat shading. Lights, light and reliefs are not in it.
 */
export async function massingGlb(scene: SceneModel, note: GlbNote): Promise<Blob> {
  const { GLTFExporter } = await import('three/examples/jsm/exporters/GLTFExporter.js');
  const root = massingObject(scene, note);
  const bytes = (await new GLTFExporter().parseAsync(root, { binary: true })) as ArrayBuffer;
  return new Blob([bytes], { type: 'model/gltf-binary' });
}

/** The massing as three.js objects, ready for any exporter. */
export function massingObject(scene: SceneModel, note: GlbNote): Group {
  const root = new Group();
  root.name = note.property;
  root.userData = {
    units: 'metre',
    up: '+Y',
    invented: note.invented,
    note: 'Massing of a lighting preview; leaves are plain quads.',
  };
  const looks = scene.materials.map(({ id, reflectanceRgb }) => plain(id, reflectanceRgb));
  const glass = plain('glass', [0.04, 0.05, 0.06]);
  const parts = new Map<string, Group>();
  const groupOf = (id: string): Group => {
    const found = parts.get(id);
    if (found) return found;
    const group = new Group();
    group.name = id;
    parts.set(id, group);
    root.add(group);
    return group;
  };
  for (const pile of [...facePiles(scene), ...strandPiles(scene)]) {
    groupOf(pile.partId).add(meshOf(pile.corners, looks[pile.material] ?? glass));
  }
  for (const pane of scene.panes) {
    const corner = (a: number, b: number): number[] =>
      [0, 1, 2].map((k) => pane.origin[k]! + a * pane.widthM * pane.u[k]! + b * pane.heightM * pane.v[k]!);
    const quad = [corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 0), corner(1, 1), corner(0, 1)].flat();
    groupOf(pane.id.split('/')[0] ?? pane.id).add(meshOf(quad, glass));
  }
  for (const plant of scene.plants) {
    const leaf = plain(`leaves of ${plant.id}`, plant.leafReflectanceRgb);
    leaf.side = DoubleSide;
    groupOf(plant.id).add(meshOf(cardQuads(plant.cards), leaf));
  }
  return root;
}

function plain(name: string, linearRgb: readonly [number, number, number]): MeshStandardMaterial {
  const material = new MeshStandardMaterial({ roughness: 1, metalness: 0 });
  material.name = name;
  material.color.setRGB(...linearRgb, LinearSRGBColorSpace);
  return material;
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
  let pile = piles.get(key);
  if (!pile) {
    pile = { partId, material, corners: [] };
    piles.set(key, pile);
  }
  return pile;
}

function meshOf(corners: readonly number[], material: MeshStandardMaterial): Mesh {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(corners), 3));
  return new Mesh(geometry, material);
}

/** Two triangles a card: a square of its side, square to its normal. */
function cardQuads(cards: Float32Array): number[] {
  const corners: number[] = [];
  for (let at = 0; at + 7 < cards.length; at += 8) {
    const [x, y, z, nx, ny, nz, side] = cards.subarray(at, at + 7) as unknown as number[];
    const level = Math.hypot(nx!, nz!) > 1e-4;
    const u = level ? [nz! / Math.hypot(nx!, nz!), 0, -nx! / Math.hypot(nx!, nz!)] : [1, 0, 0];
    const v = [ny! * u[2]! - nz! * u[1]!, nz! * u[0]! - nx! * u[2]!, nx! * u[1]! - ny! * u[0]!];
    const h = side! / 2;
    const corner = (a: number, b: number) => [
      x! + h * (a * u[0]! + b * v[0]!),
      y! + h * (a * u[1]! + b * v[1]!),
      z! + h * (a * u[2]! + b * v[2]!),
    ];
    corners.push(...corner(-1, -1), ...corner(1, -1), ...corner(1, 1), ...corner(-1, -1), ...corner(1, 1), ...corner(-1, 1));
  }
  return corners;
}
