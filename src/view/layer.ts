import type { Camera, Object3D, Vector2 } from 'three';
import type { Conditions } from '../lights/index.ts';
import type { SceneModel } from '../scene/index.ts';
import type { FieldUpdate } from '../worker/index.ts';

/** What a fragment writes. */
export type StageOutput = 'picture' | 'lux' | 'luminance';

/**
 * Uniform cells shared by every material of the stage; hold on to the cell, the stage changes its value.
 *
 * A fragment writes to a half-float target, linear, before exposure:
 * - `uOutput` 0 (picture, luminance map): `vec4(L, 1)`, L in cd/m² as linear sRGB, at most 30000 (`STAGE_MAX_CDM2`);
 * - `uOutput` 1 (lux map): `vec4(E, E, E, 1)`, E the illuminance of the surface in lux; what has none (sky, lenses,
 *   panes) writes `vec4(0)`, alpha 0, and the map leaves it dark.
 */
export interface StageUniforms {
  uOutput: { value: number };
  /** 1 in the luminance map: surfaces write ρ·E/π of the plain face, without relief and colour of single units. */
  uPlain: { value: number };
  /** Radians of view that one drawn pixel spans at the picture's centre. */
  uPixelRad: { value: number };
  /** Size of the drawn target, pixels. */
  uTargetPx: { value: Vector2 };
}
export const STAGE_MAX_CDM2 = 30000;

/**
 * What the half floats of the target cannot hold is brought down as a whole, by its strongest channel: channels cut one by one
 * would shift the hue (warm light toward yellow, then white). The one roll-off to display white is `toneMap`.
 */
export const heldGlsl = `
vec3 held(vec3 L) { return L * min(1.0, ${STAGE_MAX_CDM2.toFixed(1)} / max(max(L.r, L.g), max(L.b, 1.0))); }
`;

/**
 * One part of the picture that owns its three.js objects: sky, plants, panes, surfaces, lenses. Made for one scene;
 * the stage adds `object3d` to its graph and draws only after something changed.
 */
export interface StageLayer {
  readonly object3d: Object3D;
  /** New light from the worker; layers look only at their own arrays (`cards`, `strands`, slots). */
  setField?(update: FieldUpdate): void;
  setConditions?(conditions: Conditions): void;
  /** Before each drawn frame, after the camera moved. */
  beforeDraw?(camera: Camera): void;
  /** The context came back: mark textures and buffers for upload again. */
  restore?(): void;
  dispose(): void;
}

/** How a layer is made; `requestDraw` asks for another frame when something arrives late (a generated texture). */
export type StageLayerFactory = (context: { scene: SceneModel; uniforms: StageUniforms; requestDraw: () => void }) => StageLayer;
