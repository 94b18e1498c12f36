import {
  BufferAttribute,
  CustomBlending,
  DataTexture,
  DstColorFactor,
  HalfFloatType,
  InstancedBufferAttribute,
  InstancedBufferGeometry,
  LinearFilter,
  Mesh,
  RGBAFormat,
  ShaderMaterial,
  ZeroFactor,
} from 'three';
import type { StageLayer, StageLayerFactory } from '../layer.ts';
import { doorFragment, doorVertex } from './doorShader.ts';
import { doorFaces, FrameLight, GRID_X, GRID_Y } from './frameLight.ts';
import { packFrames } from './packFrames.ts';

/** Leaf panels by its proportions: two across a single leaf, four across a pair; three rows on a tall leaf (common practice, no source). */
function panelsOf(widthM: number, heightM: number): [number, number] {
  return [widthM > 1.25 ? 4 : 2, heightM > 1.7 ? 3 : 2];
}

/**
 * Panel mouldings of door leaves. The leaf itself is drawn by the surfaces with its own light; this layer multiplies it by
 * what the mouldings' slopes receive of that light, so an even leaf stays even and a grazed one shows its panels.
 */
export function createDoors(
  context: Parameters<StageLayerFactory>[0],
): Required<Pick<StageLayer, 'object3d' | 'setField' | 'restore' | 'dispose'>> {
  const { scene, uniforms } = context;
  const faces = doorFaces(scene);
  const light = new FrameLight(faces);
  const rows = Math.max(1, faces.length) * GRID_Y;
  const data = new Uint16Array(3 * GRID_X * rows * 4);
  const texture = new DataTexture(data, 3 * GRID_X, rows, RGBAFormat, HalfFloatType);
  texture.minFilter = LinearFilter;
  texture.magFilter = LinearFilter;
  texture.needsUpdate = true;
  const geometry = new InstancedBufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(new Float32Array([0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0]), 3));
  geometry.setIndex([0, 1, 2, 0, 2, 3]);
  const put = (name: string, size: number, of: (i: number) => readonly number[]) =>
    geometry.setAttribute(name, new InstancedBufferAttribute(Float32Array.from(faces.flatMap((_, i) => [...of(i)])), size));
  put('aOrigin', 3, (i) => scene.faces[faces[i]!.face]!.origin);
  put('aU', 3, (i) => scene.faces[faces[i]!.face]!.u);
  put('aV', 3, (i) => scene.faces[faces[i]!.face]!.v);
  put('aSize', 4, (i) => [faces[i]!.widthM, faces[i]!.heightM, ...panelsOf(faces[i]!.widthM, faces[i]!.heightM)]);
  put('aIndex', 1, (i) => [i]);
  geometry.instanceCount = faces.length;
  const material = new ShaderMaterial({
    vertexShader: doorVertex,
    fragmentShader: doorFragment,
    uniforms: { uOutput: uniforms.uOutput, uFrames: { value: texture }, uCount: { value: Math.max(1, faces.length) } },
    blending: CustomBlending,
    blendSrc: DstColorFactor,
    blendDst: ZeroFactor,
    depthWrite: false,
    polygonOffset: true,
    polygonOffsetFactor: -1,
    polygonOffsetUnits: -2,
  });
  const mesh = new Mesh(geometry, material);
  mesh.frustumCulled = false;
  mesh.visible = faces.length > 0;
  mesh.name = 'door panels';
  // After the leaves that it multiplies.
  mesh.renderOrder = 5;
  return {
    object3d: mesh,
    setField(update) {
      if (!light.setField(update)) return;
      packFrames(light.cells, faces.length, data);
      texture.needsUpdate = true;
    },
    restore() {
      texture.needsUpdate = true;
    },
    dispose() {
      geometry.dispose();
      material.dispose();
      texture.dispose();
    },
  };
}
