import {
  BufferAttribute,
  DataArrayTexture,
  DataTexture,
  Group,
  HalfFloatType,
  InstancedBufferAttribute,
  InstancedBufferGeometry,
  LinearFilter,
  LinearMipmapLinearFilter,
  Mesh,
  RGBAFormat,
  ShaderMaterial,
  SRGBColorSpace,
  type Texture,
  Vector2,
  Vector3,
} from 'three';
import {
  cctToLinearRgb,
  SKY_BASIS_COUNT,
  SKY_BASIS_HORIZONTAL_LX,
  type Surroundings,
  skyCoefficients,
} from '../../exposure/index.ts';
import type { Conditions } from '../../lights/index.ts';
import { type Pane, type SceneModel, sceneGroundHeightAt, type Vec3 } from '../../scene/index.ts';
import type { StageLayer, StageLayerFactory } from '../layer.ts';
import { createDoors } from './createDoors.ts';
import { FrameLight, frameFaces, GRID_X, GRID_Y } from './frameLight.ts';
import type { GlassDraw, GlassMirror } from './glassMirror.ts';
import { type GlassPlane, glassPlanes, mirrorOfPane } from './glassPlanes.ts';
import { packFrames } from './packFrames.ts';
import { paneFragment, paneVertex } from './paneShader.ts';
import { layRooms, type Room } from './room.ts';
import { ROOM_FACES, ROOM_TILE_PX } from './roomFaces.ts';

/** Far things mirrored in dark panes: foliage in proportion (.08), lit by a third of the sky. */
const FAR_RHO: readonly [number, number, number] = [0.05, 0.083, 0.05];

const LAYER_BYTES = ROOM_TILE_PX * ROOM_TILE_PX * 4;

/** Styles that lit windows of this scene need; a style's place in the texture is its place in this list. */
function stylesInUse(rooms: readonly Room[], panes: readonly Pane[]): number[] {
  const used = new Set<number>();
  rooms.forEach((room, i) => {
    if (panes[i]!.litCdM2 > 0) used.add(room.style);
  });
  return [...used];
}

function roomTexture(styles: number): DataArrayTexture {
  const count = Math.max(1, styles) * ROOM_FACES.length;
  const texture = new DataArrayTexture(
    new Uint8Array(styles > 0 ? LAYER_BYTES * count : 4),
    styles > 0 ? ROOM_TILE_PX : 1,
    styles > 0 ? ROOM_TILE_PX : 1,
    styles > 0 ? count : 1,
  );
  texture.format = RGBAFormat;
  texture.colorSpace = SRGBColorSpace;
  texture.minFilter = LinearMipmapLinearFilter;
  texture.magFilter = LinearFilter;
  texture.generateMipmaps = true;
  texture.needsUpdate = true;
  return texture;
}

function paneGeometry(
  scene: SceneModel,
  rooms: readonly Room[],
  styles: readonly number[],
  planes: readonly GlassPlane[],
): InstancedBufferGeometry {
  const { panes } = scene;
  const mirrors = mirrorOfPane(planes, panes);
  const rows = {
    aOrigin: [] as number[],
    aU: [] as number[],
    aV: [] as number[],
    aSize: [] as number[],
    aRoom: [] as number[],
    aLook: [] as number[],
    aLit: [] as number[],
    aPaint: [] as number[],
    aMirror: [] as number[],
    aAboveGround: [] as number[],
  };
  panes.forEach((pane, i) => {
    const room = rooms[i]!;
    const colour = cctToLinearRgb(pane.litCctK);
    const lit = pane.litCdM2;
    rows.aOrigin.push(...pane.origin);
    rows.aU.push(...pane.u);
    rows.aV.push(...pane.v);
    rows.aSize.push(pane.widthM, pane.heightM, pane.panesAcross, pane.panesUp);
    rows.aRoom.push(room.s0, room.s1, room.t0, room.t1);
    rows.aLook.push(Math.max(0, styles.indexOf(room.style)), room.mirrored ? 1 : 0, room.depthM, i);
    rows.aLit.push(colour[0] * lit, colour[1] * lit, colour[2] * lit, lit > 0 ? 1 : 0);
    rows.aMirror.push(...mirrors[i]!);
    rows.aAboveGround.push(aboveGroundM(scene, pane));
    rows.aPaint.push(...(scene.materials[pane.frameMaterial]?.reflectanceRgb ?? [0.7, 0.7, 0.7]));
  });
  const geometry = new InstancedBufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(new Float32Array([0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0]), 3));
  geometry.setIndex([0, 1, 2, 0, 2, 3]);
  for (const [name, values] of Object.entries(rows)) {
    const size = values.length / Math.max(1, panes.length);
    geometry.setAttribute(name, new InstancedBufferAttribute(Float32Array.from(values), Math.max(1, size)));
  }
  geometry.instanceCount = panes.length;
  return geometry;
}

const facesEye = ({ at, normal }: GlassPlane, eye: Vec3): boolean =>
  [0, 1, 2].reduce((sum, c) => sum + (eye[c]! - at[c]!) * normal[c]!, 0) > -0.2;

/** Height of a pane's foot over the ground three metres before it. */
function aboveGroundM(scene: SceneModel, { origin, normal }: Pane): number {
  const ground = sceneGroundHeightAt(scene, origin[0] + 3 * normal[0], origin[2] + 3 * normal[2]);
  return Math.max(0, origin[1] - (ground ?? 0));
}

export interface PanesLayer extends StageLayer {
  /** Paints the rooms behind lit windows, bit by bit; call once, after the first picture. Settles when all are painted. */
  furnish(): Promise<void>;
  setSurroundings(surroundings: Surroundings): void;
  /** Fetches what draws the mirror images in the glass; nothing happens where there is none. */
  fetchMirrors(): Promise<void>;
  /** Draws them anew where the light changed since and the glass faces the eye; call while nothing moves. */
  drawMirrors(draw: GlassDraw, eye: Vec3): void;
}

/**
 * Windows with their frames and glazing bars. Lies a millimetre in front of the frame faces of the massing and covers them:
 * bars are drawn by exact coverage, so they thin out instead of breaking up far away. Shown and given light: one `litCdM2`.
 */
export const createPanesLayer = (
  context: Parameters<StageLayerFactory>[0],
  options: { surroundings?: Surroundings } = {},
): PanesLayer => {
  const { scene, uniforms } = context;
  const panes = scene.panes;
  const rooms = layRooms(panes);
  const styles = stylesInUse(rooms, panes);
  const texture = roomTexture(styles.length);
  const light = new FrameLight(frameFaces(scene));
  const rowCount = Math.max(1, panes.length) * GRID_Y;
  const frameData = new Uint16Array(3 * GRID_X * rowCount * 4);
  const frames = new DataTexture(frameData, 3 * GRID_X, rowCount, RGBAFormat, HalfFloatType);
  frames.minFilter = LinearFilter;
  frames.magFilter = LinearFilter;
  frames.needsUpdate = true;
  const sky = Array.from({ length: SKY_BASIS_COUNT }, () => new Vector3());
  const cells = {
    uOutput: uniforms.uOutput,
    uPixelRad: uniforms.uPixelRad,
    uSky: { value: sky },
    uFar: { value: new Vector3() },
    uRooms: { value: texture },
    uFurnished: { value: 0 },
    uFrames: { value: frames },
    uPanes: { value: Math.max(1, panes.length) },
    uPlain: uniforms.uPlain,
    uMirrors: { value: null as Texture | null },
    uHasMirrors: { value: new Vector2() },
  };
  const material = new ShaderMaterial({ vertexShader: paneVertex, fragmentShader: paneFragment, uniforms: cells });
  const planes = glassPlanes(panes);
  const mesh = new Mesh(paneGeometry(scene, rooms, styles, planes), material);
  mesh.frustumCulled = false;
  mesh.name = 'panes';
  mesh.visible = panes.length > 0;
  const doors = createDoors(context);
  const group = new Group();
  group.add(mesh, doors.object3d);
  let stopFurnishing: (() => void) | undefined;
  let disposed = false;
  let mirror: GlassMirror | undefined;
  const due = planes.map(() => true);
  const showRooms = (scales: number[]): void => {
    const lit = mesh.geometry.getAttribute('aLit');
    scales.forEach((scale, i) => {
      for (let c = 0; c < 3; c++) lit.setComponent(i, c, lit.getComponent(i, c) * scale);
    });
    lit.needsUpdate = true;
    texture.needsUpdate = true;
    cells.uFurnished.value = 1;
    context.requestDraw();
  };
  let surroundings = options.surroundings ?? 'suburb';
  let conditions: Conditions | undefined;
  const applySky = () => {
    if (!conditions) return;
    const c = skyCoefficients(conditions, surroundings);
    const far = [0, 0, 0];
    sky.forEach((cell, k) => {
      cell.set(c[k * 3]!, c[k * 3 + 1]!, c[k * 3 + 2]!);
      for (let i = 0; i < 3; i++) far[i]! += (c[k * 3 + i]! * SKY_BASIS_HORIZONTAL_LX[k]! * FAR_RHO[i]!) / (3 * Math.PI);
    });
    cells.uFar.value.set(far[0]!, far[1]!, far[2]!);
  };
  return {
    object3d: group,
    async furnish() {
      if (styles.length === 0) return;
      // The painter is fetched when it is needed: the first picture does without.
      const { paintRooms } = await import('./furnish.ts');
      if (disposed) return;
      const job = paintRooms(panes, rooms, styles, texture.image.data as Uint8Array);
      stopFurnishing = job.stop;
      showRooms(await job.scales);
    },
    async fetchMirrors() {
      if (planes.length === 0) return;
      const made = await import('./glassMirror.ts');
      if (!disposed) mirror = new made.GlassMirror();
    },
    drawMirrors(draw, eye) {
      if (!mirror || uniforms.uOutput.value > 0.5 || uniforms.uPlain.value > 0.5) return;
      // No mirror shows the glass that it is drawn for: while it is drawn, panes mirror the plain sky.
      cells.uMirrors.value = null;
      const had = cells.uHasMirrors.value.clone();
      cells.uHasMirrors.value.set(0, 0);
      planes.forEach((plane, k) => {
        if (!due[k] || !facesEye(plane, eye)) return;
        mirror!.draw(plane, k, draw);
        due[k] = false;
        had.setComponent(k, 1);
      });
      cells.uMirrors.value = mirror.target.texture;
      cells.uHasMirrors.value.copy(had);
    },
    setField(update) {
      due.fill(true);
      doors.setField(update);
      if (!light.setField(update)) return;
      packFrames(light.cells, panes.length, frameData);
      frames.needsUpdate = true;
    },
    setConditions(next) {
      due.fill(true);
      conditions = next;
      applySky();
    },
    setSurroundings(next) {
      due.fill(true);
      surroundings = next;
      applySky();
    },
    restore() {
      due.fill(true);
      texture.needsUpdate = true;
      frames.needsUpdate = true;
      doors.restore();
    },
    dispose() {
      disposed = true;
      mirror?.dispose();
      doors.dispose();
      stopFurnishing?.();
      mesh.geometry.dispose();
      material.dispose();
      texture.dispose();
      frames.dispose();
    },
  };
};
