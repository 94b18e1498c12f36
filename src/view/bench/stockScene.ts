import {
  BufferAttribute,
  BufferGeometry,
  DataTexture,
  DoubleSide,
  Group,
  LinearFilter,
  LinearMipmapLinearFilter,
  Mesh,
  MeshStandardMaterial,
  type Object3D,
  PerspectiveCamera,
  RepeatWrapping,
  Scene,
  SpotLight,
  type Texture,
  Vector3,
} from 'three';
import { RELIEF_TEXELS } from '../../materials/index.ts';
import type { NightPictureProps } from '../types.ts';

const LEAF_TEXELS = 512;
const SHADOW_TEXELS = 512;

/** The shown property as plain three.js would draw it: same triangles, leaf cards as quads, one mapped standard material each. */
export function stockScene(shown: Object3D): Scene {
  const scene = new Scene();
  const surface = new MeshStandardMaterial({ map: noiseTexture(RELIEF_TEXELS, false), roughness: 1 });
  const leaf = new MeshStandardMaterial({
    map: noiseTexture(LEAF_TEXELS, true),
    roughness: 1,
    alphaTest: 0.5,
    side: DoubleSide,
  });
  const group = new Group();
  shown.traverseVisible((object) => {
    if (!(object instanceof Mesh)) return;
    const geometry = object.geometry as BufferGeometry;
    if (geometry.getAttribute('aPlace')) group.add(new Mesh(plainGeometry(geometry, 'aPlace'), surface));
    else if (geometry.getAttribute('aWood')) group.add(new Mesh(plainGeometry(geometry, 'aWood'), surface));
    else if (geometry.getAttribute('aCentre')) {
      group.add(new Mesh(cardQuads(geometry), leaf));
    }
  });
  scene.add(group);
  return scene;
}

/** Lights the scene with shadowed spots standing and aimed where the first lights of the property do. */
export function addShadowedSpots(scene: Scene, lights: NightPictureProps['lights'], count: number): void {
  for (const { fixture } of lights.slice(0, count)) {
    const spot = new SpotLight(0xffffff, 200, 0, 0.4, 0.3, 2);
    spot.position.set(...fixture.at);
    spot.target.position.set(...fixture.aim);
    spot.castShadow = true;
    spot.shadow.mapSize.set(SHADOW_TEXELS, SHADOW_TEXELS);
    scene.add(spot, spot.target);
  }
  scene.traverse((object) => {
    object.castShadow = object.castShadow || object instanceof Mesh;
    object.receiveShadow = object instanceof Mesh;
  });
}

/** A camera whose matrices are given, as the stage's are. */
export function sameCamera(from: PerspectiveCamera): PerspectiveCamera {
  const camera = new PerspectiveCamera();
  camera.position.copy(from.position);
  camera.quaternion.copy(from.quaternion);
  camera.projectionMatrix.copy(from.projectionMatrix);
  camera.projectionMatrixInverse.copy(from.projectionMatrixInverse);
  camera.updateMatrixWorld(true);
  return camera;
}

function plainGeometry(from: BufferGeometry, place: string): BufferGeometry {
  const position = from.getAttribute('position');
  const uv = from.getAttribute(place);
  const geometry = new BufferGeometry();
  const positions = new Float32Array(position.count * 3);
  const uvs = new Float32Array(position.count * 2);
  for (let i = 0; i < position.count; i++) {
    positions.set([position.getX(i), position.getY(i), position.getZ(i)], i * 3);
    uvs.set([uv.getX(i), uv.getY(i)], i * 2);
  }
  geometry.setAttribute('position', new BufferAttribute(positions, 3));
  geometry.setAttribute('uv', new BufferAttribute(uvs, 2));
  geometry.setIndex(from.index);
  geometry.computeVertexNormals();
  return geometry;
}

function cardQuads(from: BufferGeometry): BufferGeometry {
  const centre = from.getAttribute('aCentre');
  const normal = from.getAttribute('aNormal');
  const look = from.getAttribute('aLook');
  const n = centre.count / 4;
  const positions = new Float32Array(n * 12);
  const normals = new Float32Array(n * 12);
  const uvs = new Float32Array(n * 8);
  const index = new Uint32Array(n * 6);
  for (let i = 0; i < n; i++) {
    const up = new Vector3(normal.getX(4 * i), normal.getY(4 * i), normal.getZ(4 * i));
    const across = new Vector3(0, Math.abs(up.y) < 0.9 ? 1 : 0, Math.abs(up.y) < 0.9 ? 0 : 1).cross(up).normalize();
    across.applyAxisAngle(up, normal.getW(4 * i));
    const along = up.clone().cross(across);
    const half = centre.getW(4 * i) / 2;
    const tile = look.getX(4 * i);
    [-1, 1, 1, -1].forEach((x, k) => {
      const y = k < 2 ? -1 : 1;
      const p = new Vector3(centre.getX(4 * i), centre.getY(4 * i), centre.getZ(4 * i));
      p.addScaledVector(across, x * half).addScaledVector(along, y * half);
      positions.set([p.x, p.y, p.z], i * 12 + k * 3);
      normals.set([up.x, up.y, up.z], i * 12 + k * 3);
      uvs.set([(x + 1) / 4 + (tile % 2) / 2, (y + 1) / 4 + Math.floor(tile / 2) / 2], i * 8 + k * 2);
    });
    index.set(
      [0, 1, 2, 0, 2, 3].map((k) => i * 4 + k),
      i * 6,
    );
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(positions, 3));
  geometry.setAttribute('normal', new BufferAttribute(normals, 3));
  geometry.setAttribute('uv', new BufferAttribute(uvs, 2));
  geometry.setIndex(new BufferAttribute(index, 1));
  geometry.boundingSphere = from.boundingSphere;
  return geometry;
}

/** Grey noise; with holes, blobs of leaf size cover three tenths. */
function noiseTexture(side: number, holes: boolean): Texture {
  const data = new Uint8Array(side * side * 4);
  for (let i = 0; i < side * side; i++) {
    const grey = 96 + ((i * 7919) % 64);
    const x = i % side;
    const y = Math.floor(i / side);
    const blob = Math.hypot((x % 32) - 16, (y % 32) - 16) < 9.9;
    data.set([grey, grey, grey, holes && !blob ? 0 : 255], i * 4);
  }
  const texture = new DataTexture(data, side, side);
  texture.wrapS = RepeatWrapping;
  texture.wrapT = RepeatWrapping;
  texture.magFilter = LinearFilter;
  texture.minFilter = LinearMipmapLinearFilter;
  texture.generateMipmaps = true;
  texture.needsUpdate = true;
  return texture;
}
