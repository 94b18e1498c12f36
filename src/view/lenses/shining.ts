import {
  type Camera,
  CircleGeometry,
  DynamicDrawUsage,
  GLSL3,
  InstancedBufferAttribute,
  InstancedMesh,
  Matrix4,
  PlaneGeometry,
  ShaderMaterial,
  Vector3,
} from 'three';
import type { Vec3 } from '../../scene/index.ts';
import { STAGE_MAX_CDM2, type StageUniforms } from '../layer.ts';
import {
  heldRgb,
  insideLuminance,
  lensInTubeLuminance,
  type Opening,
  openingLuminance,
  seenCos,
  shownDisc,
  shownStrip,
} from './lensLight.ts';

/** Sides of a round opening; a globe near by still looks round. */
const ROUND_SIDES = 32;
/** Discs that look narrower than this are drawn as an ellipse of it. */
const LEAST_RADIUS_PX = 0.75;
/** Cells of a louvre across its face, and the half width of their blades as a share of a cell: .85 stays open. */
const LOUVRE_CELLS = 9;
const BLADE_HALF = 0.5 * (1 - Math.sqrt(0.85));

const vertex = `
in vec3 aLight;
in float aCells;
out vec3 vLight;
out vec2 vCell;
void main() {
  vLight = aLight;
  vCell = position.xy * 0.5 * aCells;
  gl_Position = projectionMatrix * modelViewMatrix * instanceMatrix * vec4(position, 1.0);
}
`;
/** Blades of a louvre are cut out where they are wide enough to see; the mean stays. */
const fragment = `
in vec3 vLight;
in vec2 vCell;
uniform float uOutput;
out vec4 outColor;
void main() {
  vec2 off = abs(fract(vCell) - 0.5);
  float px = max(fwidth(vCell.x), fwidth(vCell.y));
  float open = max(off.x, off.y) < ${(0.5 - BLADE_HALF).toFixed(4)} ? ${(1 / 0.85).toFixed(4)} : 0.0;
  float k = px > 0.0 ? mix(open, 1.0, smoothstep(0.1, 0.3, px)) : 1.0;
  outColor = uOutput > 0.5 ? vec4(0.0) : vec4(vLight * k, 1.0);
}
`;

export function lensMaterial(uniforms: StageUniforms): ShaderMaterial {
  return new ShaderMaterial({
    name: 'lens',
    glslVersion: GLSL3,
    vertexShader: vertex,
    fragmentShader: fragment,
    uniforms: { uOutput: uniforms.uOutput },
    toneMapped: false,
  });
}

/** Openings of one shape as one mesh; placed for each camera. */
export function shiningMesh(openings: readonly Opening[], shape: 'round' | 'strip', material: ShaderMaterial): InstancedMesh {
  const geometry = shape === 'round' ? new CircleGeometry(1, ROUND_SIDES) : new PlaneGeometry(1, 1);
  const mesh = new InstancedMesh(geometry, material, openings.length);
  const light = new InstancedBufferAttribute(new Float32Array(openings.length * 3), 3);
  light.setUsage(DynamicDrawUsage);
  geometry.setAttribute('aLight', light);
  const cells = openings.map(({ shape: is, shield }) => (is === 'disc' && shield.kind === 'louvre' ? LOUVRE_CELLS : 0));
  geometry.setAttribute('aCells', new InstancedBufferAttribute(Float32Array.from(cells), 1));
  mesh.frustumCulled = false;
  return mesh;
}

const matrix = new Matrix4();
const axis = new Vector3();
const at = new Vector3();
const toEye = new Vector3();
const sideways = new Vector3();
const lengthwise = new Vector3();
const nothing = new Matrix4().makeScale(0, 0, 0);

const eyeOf = ({ matrixWorld: { elements } }: Camera): Vec3 => [elements[12]!, elements[13]!, elements[14]!];

export function placeDiscs(discs: InstancedMesh, openings: readonly Opening[], camera: Camera, pixelRad: number): void {
  const light = discs.geometry.getAttribute('aLight') as InstancedBufferAttribute;
  const eye = eyeOf(camera);
  openings.forEach((opening, k) => {
    at.set(...opening.at);
    toEye.set(...eye).sub(at);
    const distance = Math.max(1e-3, toEye.length());
    toEye.divideScalar(distance);
    const leastM = LEAST_RADIUS_PX * pixelRad * distance;
    const L = opening.shape === 'globe' ? placeGlobe(opening, eye, leastM) : placeDisc(opening, eye, distance, leastM);
    light.setXYZ(k, ...heldRgb(opening.colour, L, STAGE_MAX_CDM2));
    discs.setMatrixAt(k, matrix);
  });
  discs.instanceMatrix.needsUpdate = true;
  light.needsUpdate = true;
}

/** A globe looks like a disc turned to the eye from everywhere. Leaves its place in `matrix`, returns its luminance. */
function placeGlobe(opening: Opening, eye: Vec3, leastM: number): number {
  const shown = shownDisc(opening.radiusM, 1, leastM);
  sideways.set(0, 1, 0).addScaledVector(toEye, -toEye.y);
  if (sideways.lengthSq() < 1e-9) sideways.set(1, 0, 0);
  turnedDisc(shown.wideM, shown.narrowM);
  return openingLuminance(opening, eye) * shown.dimming;
}

function placeDisc(opening: Opening, eye: Vec3, distance: number, leastM: number): number {
  const { frame, radiusM, tubeM } = opening;
  axis.set(frame[0]!, frame[1]!, frame[2]!);
  const cosTheta = axis.dot(toEye);
  const shown = shownDisc(radiusM, cosTheta > 0 ? seenCos(radiusM, cosTheta) : 0, leastM);
  sideways.copy(axis).addScaledVector(toEye, -cosTheta);
  if (sideways.lengthSq() < 1e-9) sideways.set(frame[3]!, frame[4]!, frame[5]!);
  if (shown.turned) {
    // In the mouth of its tube, and a little nearer to the eye, to clear the rim.
    at.addScaledVector(axis, tubeM).addScaledVector(toEye, Math.min(0.5 * distance, radiusM + 0.01));
    turnedDisc(shown.wideM, shown.narrowM);
    return (openingLuminance(opening, eye) + insideLuminance(opening, eye)) * shown.dimming;
  }
  // A hair in front of the body's end.
  at.addScaledVector(axis, 0.001);
  lengthwise.set(frame[6]!, frame[7]!, frame[8]!);
  sideways.crossVectors(lengthwise, axis);
  matrix.makeBasis(sideways.multiplyScalar(radiusM), lengthwise.multiplyScalar(radiusM), axis).setPosition(at);
  if (tubeM > 0) return lensInTubeLuminance(opening, eye);
  return openingLuminance(opening, eye) + insideLuminance(opening, eye);
}

/** A disc at `at` facing the eye, its narrow half axis along `sideways`, into `matrix`. */
function turnedDisc(wideM: number, narrowM: number): void {
  sideways.normalize();
  lengthwise.crossVectors(sideways, toEye);
  matrix.makeBasis(lengthwise.multiplyScalar(wideM), sideways.multiplyScalar(narrowM), toEye).setPosition(at);
}

export function placeStrips(strips: InstancedMesh, openings: readonly Opening[], camera: Camera, pixelRad: number): void {
  const light = strips.geometry.getAttribute('aLight') as InstancedBufferAttribute;
  const eye = eyeOf(camera);
  openings.forEach((opening, k) => {
    const { frame, at: place } = opening;
    const distance = Math.max(1e-3, Math.hypot(eye[0] - place[0], eye[1] - place[1], eye[2] - place[2]));
    const shown = shownStrip(opening, eye, 2 * LEAST_RADIUS_PX * pixelRad * distance);
    const L = shown?.luminanceCdM2 ?? 0;
    light.setXYZ(k, ...heldRgb(opening.colour, L, STAGE_MAX_CDM2));
    if (!shown || L === 0) strips.setMatrixAt(k, nothing);
    else {
      lengthwise.set(frame[3]!, frame[4]!, frame[5]!);
      axis.set(...shown.normal);
      sideways.crossVectors(axis, lengthwise);
      matrix.makeBasis(lengthwise.multiplyScalar(opening.lengthM), sideways.multiplyScalar(shown.widthM), axis);
      // A hair in front of the profile that carries it.
      matrix.setPosition(place[0] + 0.001 * frame[0]!, place[1] + 0.001 * frame[1]!, place[2] + 0.001 * frame[2]!);
      strips.setMatrixAt(k, matrix);
    }
  });
  strips.instanceMatrix.needsUpdate = true;
  light.needsUpdate = true;
}
