import {
  AddEquation,
  BufferAttribute,
  BufferGeometry,
  CustomBlending,
  DoubleSide,
  GLSL3,
  Mesh,
  OneFactor,
  OneMinusSrcAlphaFactor,
  ShaderMaterial,
  SrcAlphaFactor,
  type Vector3,
  ZeroFactor,
} from 'three';
import type { Vec3 } from '../../scene/index.ts';
import type { StageUniforms } from '../layer.ts';
import { CABLE_DIAMETER_M } from './hangingCables.ts';

const vertex = `
in vec3 aAlong;
in float aSide;
uniform float uPixelRad;
out float vAcrossPx;
out float vWidthPx;
void main() {
  vec3 toEye = cameraPosition - position;
  float pixelM = uPixelRad * max(0.05, -(viewMatrix * vec4(position, 1.0)).z);
  vWidthPx = ${CABLE_DIAMETER_M.toFixed(4)} / pixelM;
  // Half a pixel more on either side, for the edge's exact coverage.
  vAcrossPx = aSide * (0.5 * vWidthPx + 0.5);
  vec3 across = normalize(cross(aAlong, toEye) + vec3(0.0, 1e-6, 0.0));
  gl_Position = projectionMatrix * viewMatrix * vec4(position + across * vAcrossPx * pixelM, 1.0);
}
`;
const fragment = `
in float vAcrossPx;
in float vWidthPx;
uniform float uOutput;
uniform vec3 uBody;
out vec4 outColor;
void main() {
  if (uOutput > 0.5) discard;
  float cover = min(vAcrossPx + 0.5, 0.5 * vWidthPx) - max(vAcrossPx - 0.5, -0.5 * vWidthPx);
  outColor = vec4(0.5 * uBody, clamp(cover, 0.0, 1.0));
}
`;

/** Dark cables: they cover as much of a pixel as they are wide there, so that a far one grows faint and never breaks up. */
export function cableMaterial(uniforms: StageUniforms, uBody: { value: Vector3 }): ShaderMaterial {
  return new ShaderMaterial({
    name: 'cable',
    glslVersion: GLSL3,
    vertexShader: vertex,
    fragmentShader: fragment,
    uniforms: { uOutput: uniforms.uOutput, uPixelRad: uniforms.uPixelRad, uBody },
    side: DoubleSide,
    transparent: true,
    depthWrite: false,
    toneMapped: false,
    blending: CustomBlending,
    blendEquation: AddEquation,
    blendSrc: SrcAlphaFactor,
    blendDst: OneMinusSrcAlphaFactor,
    blendSrcAlpha: ZeroFactor,
    blendDstAlpha: OneFactor,
  });
}

/** Ribbons along the lines, turned to the eye by the material. */
export function cableMesh(lines: readonly Vec3[][], material: ShaderMaterial): Mesh {
  const [positions, alongs, sides, indices]: number[][] = [[], [], [], []];
  for (const line of lines) {
    line.forEach((point, i) => {
      const [from, to] = [line[Math.max(0, i - 1)]!, line[Math.min(line.length - 1, i + 1)]!];
      const first = sides!.length;
      for (const side of [-1, 1]) {
        positions!.push(...point);
        alongs!.push(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
        sides!.push(side);
      }
      if (i > 0) indices!.push(first - 2, first - 1, first, first, first - 1, first + 1);
    });
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(positions!), 3));
  geometry.setAttribute('aAlong', new BufferAttribute(Float32Array.from(alongs!), 3));
  geometry.setAttribute('aSide', new BufferAttribute(Float32Array.from(sides!), 1));
  geometry.setIndex(indices!);
  const mesh = new Mesh(geometry, material);
  mesh.frustumCulled = false;
  return mesh;
}
