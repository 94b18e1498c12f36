import {
  type Camera,
  CircleGeometry,
  CylinderGeometry,
  DynamicDrawUsage,
  Group,
  InstancedBufferAttribute,
  InstancedMesh,
  Matrix4,
  type Mesh,
  PlaneGeometry,
  Quaternion,
  ShaderMaterial,
  GLSL3,
  Vector3,
} from 'three';
import { SKY_BASIS_HORIZONTAL_LX, skyCoefficients, type Surroundings } from '../../exposure/index.ts';
import type { Conditions } from '../../lights/index.ts';
import { sceneGroundHeightAt, type Vec3 } from '../../scene/index.ts';
import { STAGE_MAX_CDM2, type StageLayer, type StageLayerFactory } from '../layer.ts';
import type { NightPictureProps } from '../types.ts';
import { cableMaterial, cableMesh } from './cableMesh.ts';
import { hangingCables } from './hangingCables.ts';
import {
  BODY_LENGTH_M,
  bodyRadiusM,
  heldRgb,
  type Opening,
  openingLuminance,
  openingOf,
  shownDisc,
  shownStrip,
} from './lensLight.ts';

type Lights = NightPictureProps['lights'];

/** Reflectance of fixtures painted dark bronze, luminance .05 (from memory). */
const BODY_RHO = [0.059, 0.049, 0.04] as const;
/** Share of the open sky's light that reaches a fixture among walls and plants, by eye. */
const BODY_SKY_SHARE = 0.6;
/** Radius of the cap that holds a globe, as a share of the globe's. */
const CAP_SHARE = 0.35;
/** Sides of a round opening; a globe near by still looks round. */
const ROUND_SIDES = 32;
const STAKE_RADIUS_M = 0.006;
/** Discs that look narrower than this are drawn as a round spot of it. */
const LEAST_RADIUS_PX = 0.75;

const lensVertex = `
in vec3 aLight;
out vec3 vLight;
void main() {
  vLight = aLight;
  gl_Position = projectionMatrix * modelViewMatrix * instanceMatrix * vec4(position, 1.0);
}
`;
const lensFragment = `
in vec3 vLight;
uniform float uOutput;
out vec4 outColor;
void main() { outColor = uOutput > 0.5 ? vec4(0.0) : vec4(vLight, 1.0); }
`;
const bodyVertex = `
out float vUp;
void main() {
  vec3 n = normalize(mat3(instanceMatrix) * normal);
  vUp = 0.5 + 0.5 * n.y;
  gl_Position = projectionMatrix * modelViewMatrix * instanceMatrix * vec4(position, 1.0);
}
`;
const bodyFragment = `
in float vUp;
uniform float uOutput;
uniform vec3 uBody;
out vec4 outColor;
void main() { outColor = uOutput > 0.5 ? vec4(0.0) : vec4(uBody * vUp, 1.0); }
`;

export interface LensLayer extends StageLayer {
  setLights(lights: Lights): void;
  setSurroundings(surroundings: Surroundings): void;
}

/** Luminous openings at their true size and luminance, and the small dark bodies that carry them. */
export function createLensLayer(context: Parameters<StageLayerFactory>[0]): LensLayer {
  const group = new Group();
  const lensMaterial = new ShaderMaterial({
    name: 'lens',
    glslVersion: GLSL3,
    vertexShader: lensVertex,
    fragmentShader: lensFragment,
    uniforms: { uOutput: context.uniforms.uOutput },
    toneMapped: false,
  });
  const bodyMaterial = new ShaderMaterial({
    name: 'fixture-body',
    glslVersion: GLSL3,
    vertexShader: bodyVertex,
    fragmentShader: bodyFragment,
    uniforms: { uOutput: context.uniforms.uOutput, uBody: { value: new Vector3() } },
    toneMapped: false,
  });
  const cordMaterial = cableMaterial(context.uniforms, bodyMaterial.uniforms.uBody as { value: Vector3 });
  /** Discs and globes; strips apart. */
  let round: Opening[] = [];
  let long: Opening[] = [];
  let discs: InstancedMesh | undefined;
  let strips: InstancedMesh | undefined;
  let bodies: InstancedMesh | undefined;
  let cables: Mesh | undefined;
  let conditions: Conditions | undefined;
  let surroundings: Surroundings = 'suburb';

  const clear = (): void => {
    for (const mesh of [discs, strips, bodies]) {
      mesh?.geometry.dispose();
      mesh?.dispose();
    }
    cables?.geometry.dispose();
    cables = undefined;
    discs = undefined;
    strips = undefined;
    bodies = undefined;
    group.clear();
  };
  const shadeBodies = (): void => {
    if (!conditions) return;
    // Only the open sky's share: the field keeps no samples on fixtures.
    const sky = skyHorizontalRgb(conditions, surroundings);
    bodyMaterial.uniforms.uBody!.value.set(...BODY_RHO.map((rho, c) => (rho * BODY_SKY_SHARE * sky[c]!) / Math.PI));
  };

  return {
    object3d: group,
    setLights(lights) {
      clear();
      const openings = lights.map((light) => openingOf(light.fixture, light.lamp, light.weight));
      round = openings.filter((opening) => opening.shape !== 'line');
      long = openings.filter((opening) => opening.shape === 'line');
      if (openings.length === 0) return;
      if (round.length > 0) discs = shiningMesh(new CircleGeometry(1, ROUND_SIDES), lensMaterial, round.length);
      if (long.length > 0) strips = shiningMesh(new PlaneGeometry(1, 1), lensMaterial, long.length);
      bodies = bodyMesh(lights, openings, bodyMaterial, (x, z) => sceneGroundHeightAt(context.scene, x, z));
      bodies.frustumCulled = false;
      const lines = hangingCables(heldPlaces(lights, openings), context.scene);
      if (lines.length > 0) cables = cableMesh(lines, cordMaterial);
      for (const mesh of [discs, strips, bodies, cables]) if (mesh) group.add(mesh);
    },
    setConditions(next) {
      conditions = next;
      shadeBodies();
    },
    setSurroundings(next) {
      surroundings = next;
      shadeBodies();
    },
    beforeDraw(camera) {
      const pixelRad = context.uniforms.uPixelRad.value;
      if (discs) placeDiscs(discs, round, camera, pixelRad);
      if (strips) placeStrips(strips, long, camera, pixelRad);
    },
    dispose() {
      clear();
      lensMaterial.dispose();
      bodyMaterial.dispose();
      cordMaterial.dispose();
    },
  };
}

/** Light of the whole sky on level ground, RGB lux. */
function skyHorizontalRgb(conditions: Conditions, surroundings: Surroundings): number[] {
  const weights = skyCoefficients(conditions, surroundings);
  return [0, 1, 2].map((c) => SKY_BASIS_HORIZONTAL_LX.reduce((sum, lx, k) => sum + weights[k * 3 + c]! * lx, 0));
}

/** Where the body of an opening stands, and its unit cylinder brought there. */
function bodyOf(opening: Opening): { centre: Vector3; matrix: Matrix4 } {
  const { frame, radiusM } = opening;
  const axis = new Vector3(frame[0]!, frame[1]!, frame[2]!);
  const along = opening.shape === 'line' ? new Vector3(frame[3]!, frame[4]!, frame[5]!) : axis;
  const thick =
    opening.shape === 'globe' ? CAP_SHARE * radiusM : opening.shape === 'line' ? radiusM * 1.2 + 0.001 : bodyRadiusM(radiusM);
  const length = { disc: BODY_LENGTH_M, globe: radiusM, line: opening.lengthM }[opening.shape];
  const back = { disc: BODY_LENGTH_M / 2, globe: 1.3 * radiusM, line: thick }[opening.shape];
  const centre = new Vector3(...opening.at).addScaledVector(axis, -back);
  const turn = new Quaternion().setFromUnitVectors(upward, along);
  return { centre, matrix: new Matrix4().compose(centre, turn, new Vector3(thick, length, thick)) };
}

/** Tops of the bodies of what hangs. */
function heldPlaces(lights: Lights, openings: readonly Opening[]): Vec3[] {
  return lights.flatMap(({ fixture }, k) => {
    if (fixture.mount !== 'hanging') return [];
    const { shape, at, radiusM } = openings[k]!;
    const top = { disc: BODY_LENGTH_M, globe: 1.8 * radiusM, line: radiusM }[shape];
    return [[at[0], at[1] + top, at[2]] satisfies Vec3];
  });
}

const towardZ = new Vector3(0, 0, 1);
const upward = new Vector3(0, 1, 0);

function shiningMesh(geometry: CircleGeometry | PlaneGeometry, material: ShaderMaterial, count: number): InstancedMesh {
  const mesh = new InstancedMesh(geometry, material, count);
  const light = new InstancedBufferAttribute(new Float32Array(count * 3), 3);
  light.setUsage(DynamicDrawUsage);
  mesh.geometry.setAttribute('aLight', light);
  mesh.frustumCulled = false;
  return mesh;
}

const eyeOf = ({ matrixWorld: { elements } }: Camera): Vec3 => [elements[12]!, elements[13]!, elements[14]!];

function placeDiscs(discs: InstancedMesh, openings: readonly Opening[], camera: Camera, pixelRad: number): void {
  const light = discs.geometry.getAttribute('aLight') as InstancedBufferAttribute;
  const matrix = new Matrix4();
  const turn = new Quaternion();
  const axis = new Vector3();
  const at = new Vector3();
  const toEye = new Vector3();
  const eye = eyeOf(camera);
  openings.forEach((opening, k) => {
    axis.set(opening.frame[0]!, opening.frame[1]!, opening.frame[2]!);
    at.set(...opening.at);
    toEye.set(...eye).sub(at);
    const distance = Math.max(1e-3, toEye.length());
    toEye.divideScalar(distance);
    const globe = opening.shape === 'globe';
    const least = LEAST_RADIUS_PX * pixelRad * distance;
    // A globe looks like a disc turned to the eye from everywhere.
    const shown = globe
      ? { ...shownDisc(opening.radiusM, 1, least), turned: true }
      : shownDisc(opening.radiusM, axis.dot(toEye), least);
    const inShade = axis.dot(toEye) > 0 ? opening.shadeCdM2 : 0;
    const L = Math.max(openingLuminance(opening, eye), inShade) * shown.dimming;
    light.setXYZ(k, ...heldRgb(opening.colour, L, STAGE_MAX_CDM2));
    // A hair in front of the body's end; a spot turned to the eye a little more, to clear the rim.
    at.addScaledVector(axis, 0.001);
    if (shown.turned && !globe) at.addScaledVector(toEye, Math.min(0.5 * distance, opening.radiusM + 0.01));
    turn.setFromUnitVectors(towardZ, shown.turned ? toEye : axis);
    matrix.compose(at, turn, new Vector3(shown.radiusM, shown.radiusM, 1));
    discs.setMatrixAt(k, matrix);
  });
  discs.instanceMatrix.needsUpdate = true;
  light.needsUpdate = true;
}

function placeStrips(strips: InstancedMesh, openings: readonly Opening[], camera: Camera, pixelRad: number): void {
  const light = strips.geometry.getAttribute('aLight') as InstancedBufferAttribute;
  const eye = eyeOf(camera);
  const matrix = new Matrix4();
  openings.forEach((opening, k) => {
    const { frame, at } = opening;
    const distance = Math.max(1e-3, Math.hypot(eye[0] - at[0], eye[1] - at[1], eye[2] - at[2]));
    const shown = shownStrip(opening, eye, 2 * LEAST_RADIUS_PX * pixelRad * distance);
    const L = shown?.luminanceCdM2 ?? 0;
    light.setXYZ(k, ...heldRgb(opening.colour, L, STAGE_MAX_CDM2));
    if (!shown || L === 0) strips.setMatrixAt(k, matrix.makeScale(0, 0, 0));
    else {
      const lengthwise = new Vector3(frame[3]!, frame[4]!, frame[5]!);
      const normal = new Vector3(...shown.normal);
      const across = new Vector3().crossVectors(normal, lengthwise);
      matrix.makeBasis(lengthwise.multiplyScalar(opening.lengthM), across.multiplyScalar(shown.widthM), normal);
      // A hair in front of the profile that carries it.
      matrix.setPosition(at[0] + 0.001 * frame[0]!, at[1] + 0.001 * frame[1]!, at[2] + 0.001 * frame[2]!);
      strips.setMatrixAt(k, matrix);
    }
  });
  strips.instanceMatrix.needsUpdate = true;
  light.needsUpdate = true;
}

/** A cylinder behind each lens, a cap on a globe, a thin profile behind a strip; a thin stake to the ground under staked ones. Flush fixtures have neither. */
function bodyMesh(
  lights: Lights,
  openings: readonly Opening[],
  material: ShaderMaterial,
  groundAt: (x: number, z: number) => number | undefined,
): InstancedMesh {
  const matrices: Matrix4[] = [];
  lights.forEach(({ fixture }, k) => {
    const opening = openings[k]!;
    if (fixture.mount === 'inGrade') return;
    const { centre, matrix } = bodyOf(opening);
    matrices.push(matrix);
    const ground = groundAt(opening.at[0], opening.at[2]) ?? 0;
    const height = centre.y - ground;
    if ((fixture.mount !== 'stake' && fixture.mount !== 'riser') || height <= 0.01) return;
    const foot = new Vector3(centre.x, ground + height / 2, centre.z);
    matrices.push(new Matrix4().compose(foot, new Quaternion(), new Vector3(STAKE_RADIUS_M, height, STAKE_RADIUS_M)));
  });
  const mesh = new InstancedMesh(new CylinderGeometry(1, 1, 1, 14), material, Math.max(1, matrices.length));
  mesh.count = matrices.length;
  matrices.forEach((matrix, k) => {
    mesh.setMatrixAt(k, matrix);
  });
  return mesh;
}
