import { type BufferAttribute, GLSL3, Group, type InstancedMesh, Mesh, ShaderMaterial, Vector3 } from 'three';
import { SKY_BASIS_HORIZONTAL_LX, skyCoefficients, type Surroundings } from '../../exposure/index.ts';
import type { Conditions, TileRef } from '../../lights/index.ts';
import { sceneGroundHeightAt, type Vec3 } from '../../scene/index.ts';
import type { FieldTextures } from '../field/fieldTextures.ts';
import { heldGlsl, type StageLayer, type StageLayerFactory, type StageUniforms } from '../layer.ts';
import type { NightPictureProps } from '../types.ts';
import { type Around, aroundOf, type Host, hostOf, hostTexel, lightBody } from './around.ts';
import { bodyOf } from './bodies.ts';
import { cableMaterial, cableMesh } from './cableMesh.ts';
import { hangingCables } from './hangingCables.ts';
import { latheGeometry } from './lathe.ts';
import { BODY_LENGTH_M, type Opening, openingOf } from './lensLight.ts';
import { lensMaterial, placeDiscs, placeStrips, shiningMesh } from './shining.ts';

type Lights = NightPictureProps['lights'];
type Context = Parameters<StageLayerFactory>[0] & { field: Pick<FieldTextures, 'lightAt'> };

/** Reflectance of fixtures painted dark bronze, luminance .05, and of the white under a hat (from memory). */
const BRONZE_RHO = [0.059, 0.049, 0.04] as const;
const WHITE_RHO = 0.7;
/** Share of the open sky's light that reaches a fixture among walls and plants where the field has no value, by eye. */
const SKY_SHARE = 0.6;

const bodyVertex = `
in vec4 aGlow;
in vec3 aLight;
out vec4 vGlow;
out vec3 vLight;
out vec3 vNormal;
out vec3 vToEye;
void main() {
  vGlow = aGlow;
  vLight = aLight;
  vNormal = normal;
  vToEye = cameraPosition - position;
  gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.0);
}
`;
/** Paint of ρ and, at its edges, the sheen of a smooth coat (Schlick 1994, n = 1.5) of about what falls on it. */
const bodyFragment = `
in vec4 vGlow;
in vec3 vLight;
in vec3 vNormal;
in vec3 vToEye;
uniform float uOutput;
out vec4 outColor;
${heldGlsl}
void main() {
  vec3 rho = mix(vec3(${BRONZE_RHO.join(', ')}), vec3(${WHITE_RHO.toFixed(2)}), vGlow.a);
  float away = 1.0 - clamp(dot(normalize(vNormal), normalize(vToEye)), 0.0, 1.0);
  float sheen = 0.04 + 0.96 * pow(away, 5.0);
  outColor = uOutput > 0.5 ? vec4(0.0) : vec4(held((rho + 0.5 * sheen) * vLight + vGlow.rgb), 1.0);
}
`;

export interface LensLayer extends StageLayer {
  setLights(lights: Lights): void;
  setSurroundings(surroundings: Surroundings): void;
}

/** Luminous openings at their true size and luminance, and the bodies that carry them. */
export function createLensLayer(context: Context): LensLayer {
  const group = new Group();
  const shining = lensMaterial(context.uniforms);
  const painted = bodyMaterial(context.uniforms);
  const cordColour = { value: new Vector3() };
  const cord = cableMaterial(context.uniforms, cordColour);
  const sky: [number, number, number] = [0, 0, 0];
  /** Discs and globes; strips apart. */
  let round: Opening[] = [];
  let long: Opening[] = [];
  let discs: InstancedMesh | undefined;
  let strips: InstancedMesh | undefined;
  let bodies: Bodies | undefined;
  let cables: Mesh | undefined;
  let tiles: readonly TileRef[] = [];
  let conditions: Conditions | undefined;
  let surroundings: Surroundings = 'suburb';

  const clear = (): void => {
    for (const mesh of [discs, strips, bodies?.mesh, cables]) mesh?.geometry.dispose();
    discs?.dispose();
    strips?.dispose();
    discs = undefined;
    strips = undefined;
    bodies = undefined;
    cables = undefined;
    group.clear();
  };
  const shadeBodies = (): void => {
    if (!conditions) return;
    skyHorizontalRgb(conditions, surroundings).forEach((lx, c) => {
      sky[c] = SKY_SHARE * lx;
    });
    cordColour.value
      .set(...sky)
      .multiply(new Vector3(...BRONZE_RHO))
      .divideScalar(Math.PI);
    if (bodies) lightBodies(bodies, context.field, sky);
  };

  return {
    object3d: group,
    setLights(lights) {
      clear();
      const openings = lights.map((light) => openingOf(light.fixture, light.lamp, light.weight));
      round = openings.filter((opening) => opening.shape !== 'line');
      long = openings.filter((opening) => opening.shape === 'line');
      if (openings.length === 0) return;
      if (round.length > 0) discs = shiningMesh(round, 'round', shining);
      if (long.length > 0) strips = shiningMesh(long, 'strip', shining);
      bodies = makeBodies(lights, openings, context, painted);
      findTexels(bodies, tiles);
      shadeBodies();
      const lines = hangingCables(heldPlaces(lights, openings), context.scene);
      if (lines.length > 0) cables = cableMesh(lines, cord);
      for (const mesh of [discs, strips, bodies.mesh, cables]) if (mesh) group.add(mesh);
    },
    setField(update) {
      if (update.tiles) tiles = update.tiles;
      if (update.tiles && bodies) findTexels(bodies, tiles);
      shadeBodies();
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
      for (const material of [shining, painted, cord]) material.dispose();
    },
  };
}

function bodyMaterial(uniforms: StageUniforms): ShaderMaterial {
  return new ShaderMaterial({
    name: 'fixture-body',
    glslVersion: GLSL3,
    vertexShader: bodyVertex,
    fragmentShader: bodyFragment,
    uniforms: { uOutput: uniforms.uOutput },
    toneMapped: false,
  });
}

/** Light of the whole sky on level ground, RGB lux. */
function skyHorizontalRgb(conditions: Conditions, surroundings: Surroundings): number[] {
  const weights = skyCoefficients(conditions, surroundings);
  return [0, 1, 2].map((c) => SKY_BASIS_HORIZONTAL_LX.reduce((sum, lx, k) => sum + weights[k * 3 + c]! * lx, 0));
}

/** All bodies as one mesh, with what each stands on and where in the atlas its light is. */
interface Bodies {
  mesh: Mesh;
  parts: { first: number; end: number; host: Host | undefined; texel: { x: number; y: number } | undefined }[];
}

function makeBodies(lights: Lights, openings: readonly Opening[], { scene }: Context, material: ShaderMaterial): Bodies {
  const hosts = lights.map(({ fixture }) => hostOf(fixture, scene));
  const { geometry, groups } = latheGeometry(
    lights.map(({ fixture }, k) => {
      const opening = openings[k]!;
      const foot = hosts[k];
      const staked = foot && foot.normal[1] > 0.5 ? foot.at[1] : sceneGroundHeightAt(scene, opening.at[0], opening.at[2]);
      return bodyOf(fixture, opening, foot, staked ?? 0);
    }),
  );
  const mesh = new Mesh(geometry, material);
  mesh.frustumCulled = false;
  return { mesh, parts: groups.map((range, k) => ({ ...range, host: hosts[k], texel: undefined })) };
}

function findTexels({ parts }: Bodies, tiles: readonly TileRef[]): void {
  for (const part of parts) part.texel = part.host && hostTexel(part.host, tiles);
}

/** One look-up a body: the light at its foot; where the field has none, the open sky's share from above. */
function lightBodies({ mesh, parts }: Bodies, field: Context['field'], sky: readonly [number, number, number]): void {
  const light = mesh.geometry.getAttribute('aLight') as BufferAttribute;
  const normals = mesh.geometry.getAttribute('normal').array;
  const open: Around = { pole: [0, 1, 0], arriving: sky, returned: [0, 0, 0] };
  for (const part of parts) {
    const at = part.texel && field.lightAt(part.texel.x, part.texel.y);
    lightBody(light.array as Float32Array, normals, part, at && part.host ? aroundOf(part.host, at) : open);
  }
  light.needsUpdate = true;
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
