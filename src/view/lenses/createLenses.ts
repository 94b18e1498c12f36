import {
  type Camera,
  CircleGeometry,
  CylinderGeometry,
  DynamicDrawUsage,
  Group,
  InstancedBufferAttribute,
  InstancedMesh,
  Matrix4,
  Quaternion,
  ShaderMaterial,
  GLSL3,
  Vector3,
} from 'three';
import { skyHorizontalLx, type Surroundings } from '../../exposure/index.ts';
import type { Conditions } from '../../lights/index.ts';
import { sceneGroundHeightAt, type Vec3 } from '../../scene/index.ts';
import { STAGE_MAX_CDM2, type StageLayer, type StageLayerFactory } from '../layer.ts';
import type { NightPictureProps } from '../types.ts';
import { type Opening, openingLuminance, openingOf, shownDisc } from './lensLight.ts';

type Lights = NightPictureProps['lights'];

/** Reflectance of dark painted fixtures. */
const BODY_RHO = 0.05;
const BODY_LENGTH_M = 0.11;
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
void main() { outColor = uOutput > 0.5 ? vec4(0.0) : vec4(min(vLight, vec3(${STAGE_MAX_CDM2.toFixed(1)})), 1.0); }
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
  let openings: Opening[] = [];
  let discs: InstancedMesh | undefined;
  let bodies: InstancedMesh | undefined;
  let conditions: Conditions | undefined;
  let surroundings: Surroundings = 'suburb';

  const clear = (): void => {
    for (const mesh of [discs, bodies]) {
      mesh?.geometry.dispose();
      mesh?.dispose();
    }
    group.clear();
  };
  const shadeBodies = (): void => {
    if (!conditions) return;
    // Only the open sky's share: the field keeps no samples on fixtures.
    const L = (BODY_RHO * skyHorizontalLx(conditions, surroundings)) / Math.PI;
    bodyMaterial.uniforms.uBody!.value.set(L * 0.8, L, L * 1.35);
  };

  return {
    object3d: group,
    setLights(lights) {
      clear();
      openings = lights.map((light) => openingOf(light.fixture, light.lamp, light.weight));
      if (openings.length === 0) return;
      discs = new InstancedMesh(new CircleGeometry(1, 20), lensMaterial, openings.length);
      const light = new InstancedBufferAttribute(new Float32Array(openings.length * 3), 3);
      light.setUsage(DynamicDrawUsage);
      discs.geometry.setAttribute('aLight', light);
      bodies = bodyMesh(lights, openings, bodyMaterial, (x, z) => sceneGroundHeightAt(context.scene, x, z));
      discs.frustumCulled = false;
      bodies.frustumCulled = false;
      group.add(discs, bodies);
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
      if (discs) placeDiscs(discs, openings, camera, context.uniforms.uPixelRad.value);
    },
    dispose() {
      clear();
      lensMaterial.dispose();
      bodyMaterial.dispose();
    },
  };
}

const towardZ = new Vector3(0, 0, 1);
const upward = new Vector3(0, 1, 0);

function placeDiscs(discs: InstancedMesh, openings: readonly Opening[], camera: Camera, pixelRad: number): void {
  const light = discs.geometry.getAttribute('aLight') as InstancedBufferAttribute;
  const matrix = new Matrix4();
  const turn = new Quaternion();
  const axis = new Vector3();
  const at = new Vector3();
  const toEye = new Vector3();
  const eye: Vec3 = [camera.matrixWorld.elements[12]!, camera.matrixWorld.elements[13]!, camera.matrixWorld.elements[14]!];
  openings.forEach((opening, k) => {
    axis.set(opening.frame[0]!, opening.frame[1]!, opening.frame[2]!);
    at.set(...opening.at);
    toEye.set(...eye).sub(at);
    const distance = Math.max(1e-3, toEye.length());
    toEye.divideScalar(distance);
    const shown = shownDisc(opening.radiusM, axis.dot(toEye), LEAST_RADIUS_PX * pixelRad * distance);
    const L = openingLuminance(opening, eye) * shown.dimming;
    light.setXYZ(k, opening.colour[0] * L, opening.colour[1] * L, opening.colour[2] * L);
    // A hair in front of the body's end; a spot turned to the eye a little more, to clear the rim.
    at.addScaledVector(axis, 0.001);
    if (shown.turned) at.addScaledVector(toEye, Math.min(0.5 * distance, opening.radiusM + 0.01));
    turn.setFromUnitVectors(towardZ, shown.turned ? toEye : axis);
    matrix.compose(at, turn, new Vector3(shown.radiusM, shown.radiusM, 1));
    discs.setMatrixAt(k, matrix);
  });
  discs.instanceMatrix.needsUpdate = true;
  light.needsUpdate = true;
}

/** A cylinder behind each lens; a thin stake to the ground under staked ones. Flush fixtures have neither. */
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
    const axis = new Vector3(opening.frame[0]!, opening.frame[1]!, opening.frame[2]!);
    const radius = opening.radiusM * 1.2 + 0.004;
    const centre = new Vector3(...opening.at).addScaledVector(axis, -BODY_LENGTH_M / 2);
    matrices.push(
      new Matrix4().compose(
        centre,
        new Quaternion().setFromUnitVectors(upward, axis),
        new Vector3(radius, BODY_LENGTH_M, radius),
      ),
    );
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
