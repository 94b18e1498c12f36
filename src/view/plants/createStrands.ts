import { BufferAttribute, BufferGeometry, Float16BufferAttribute, Mesh, ShaderMaterial } from 'three';
import { buildStrandMesh, type SceneModel, type Strand } from '../../scene/index.ts';
import type { StageLayer, StageLayerFactory } from '../layer.ts';
import { strandFragment, strandVertex } from './strandShader.ts';
import { strandLightDirections } from './strandLight.ts';

const BARK_LOOK: Record<string, number> = { barkBrown: 1, barkPale: 2, barkGrey: 3 };
/** Scarred, whatever the colour. */
const PALM_LOOK = 4;
/** Pale bark of trees that are no birches (planes): it flakes in plates. */
const PLANE_LOOK = 5;

interface Merged {
  position: Float32Array;
  normal: Float32Array;
  /** Offset from the centre line, and length run along the strand. */
  wood: Float32Array;
  /** Reflectance and bark look. */
  colour: Float32Array;
  index: Uint32Array;
  first: number[];
  vertices: number;
}

/** All strands in one buffer, vertices in the order of the field: strand, ring, side. */
function mergeStrands(scene: SceneModel): Merged {
  const meshes = scene.strands.map((strand) => buildStrandMesh(strand));
  const vertices = meshes.reduce((n, mesh) => n + mesh.positions.length / 3, 0);
  const indices = meshes.reduce((n, mesh) => n + mesh.indices.length, 0);
  const out: Merged = {
    position: new Float32Array(vertices * 3),
    normal: new Float32Array(vertices * 3),
    wood: new Float32Array(vertices * 4),
    colour: new Float32Array(vertices * 4),
    index: new Uint32Array(indices),
    first: [],
    vertices,
  };
  let v = 0;
  let i = 0;
  const habits = new Map(scene.plants.map((plant) => [plant.id, plant.habit]));
  scene.strands.forEach((strand, s) => {
    const mesh = meshes[s]!;
    out.first.push(v);
    out.position.set(mesh.positions, v * 3);
    out.normal.set(mesh.normals, v * 3);
    for (const k of mesh.indices) out.index[i++] = k + v;
    describeWood(scene, strand, mesh.positions, out, v, habits.get(strand.partId));
    v += mesh.positions.length / 3;
  });
  return out;
}

function describeWood(
  scene: SceneModel,
  strand: Strand,
  positions: Float32Array,
  out: Merged,
  first: number,
  habit: string | undefined,
): void {
  const material = scene.materials[strand.material];
  const rgb = material?.reflectanceRgb ?? [0.12, 0.1, 0.08];
  const bark = barkLook(material?.id, habit);
  let along = 0;
  for (let r = 0; r < strand.radiiM.length; r++) {
    if (r > 0) {
      const d = [0, 1, 2].map((c) => strand.ringsM[r * 3 + c]! - strand.ringsM[r * 3 - 3 + c]!);
      along += Math.hypot(d[0]!, d[1]!, d[2]!);
    }
    for (let k = 0; k < strand.sides; k++) {
      const at = r * strand.sides + k;
      for (let c = 0; c < 3; c++) out.wood[(first + at) * 4 + c] = positions[at * 3 + c]! - strand.ringsM[r * 3 + c]!;
      out.wood[(first + at) * 4 + 3] = along;
      out.colour.set([rgb[0], rgb[1], rgb[2], bark], (first + at) * 4);
    }
  }
}

function barkLook(material: string | undefined, habit: string | undefined): number {
  if (habit === 'palm') return PALM_LOOK;
  if (material === 'barkPale' && habit !== 'multiStem') return PLANE_LOOK;
  return BARK_LOOK[material ?? ''] ?? 0;
}

/** Trunks, limbs, railing bars and posts in one mesh. */
export const createStrandsLayer: StageLayerFactory = ({ scene, uniforms }): StageLayer => {
  const merged = mergeStrands(scene);
  const light = new Uint16Array(merged.vertices * 4);
  const from = new Float32Array(merged.vertices * 3);
  const geometry = new BufferGeometry();
  const lightAttribute = new Float16BufferAttribute(light, 4);
  const fromAttribute = new BufferAttribute(from, 3);
  geometry.setAttribute('position', new BufferAttribute(merged.position, 3));
  geometry.setAttribute('normal', new BufferAttribute(merged.normal, 3));
  geometry.setAttribute('aWood', new BufferAttribute(merged.wood, 4));
  geometry.setAttribute('aColour', new BufferAttribute(merged.colour, 4));
  geometry.setAttribute('aLight', lightAttribute);
  geometry.setAttribute('aFrom', fromAttribute);
  geometry.setIndex(new BufferAttribute(merged.index, 1));
  const material = new ShaderMaterial({
    vertexShader: strandVertex,
    fragmentShader: strandFragment,
    uniforms: { uOutput: uniforms.uOutput, uPixelRad: uniforms.uPixelRad },
  });
  const mesh = new Mesh(geometry, material);
  mesh.name = 'strands';
  mesh.frustumCulled = false;
  mesh.visible = merged.vertices > 0;
  const touch = () => {
    lightAttribute.needsUpdate = true;
    fromAttribute.needsUpdate = true;
  };
  return {
    object3d: mesh,
    setField(update) {
      if (!update.strands) return;
      (lightAttribute.array as Uint16Array).set(update.strands.subarray(0, merged.vertices * 4));
      scene.strands.forEach((strand, s) => {
        const first = merged.first[s]!;
        const normals = merged.normal.subarray(first * 3);
        strandLightDirections(strand, update.strands!, first, normals, from, first * 3);
      });
      touch();
    },
    restore: touch,
    dispose() {
      geometry.dispose();
      material.dispose();
    },
  };
};
