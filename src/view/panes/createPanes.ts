import {
  BufferAttribute,
  DataArrayTexture,
  DataTexture,
  DataUtils,
  HalfFloatType,
  InstancedBufferAttribute,
  InstancedBufferGeometry,
  LinearFilter,
  LinearMipmapLinearFilter,
  Mesh,
  RGBAFormat,
  ShaderMaterial,
  SRGBColorSpace,
  Vector3,
} from 'three';
import {
  cctToLinearRgb,
  SKY_BASIS_COUNT,
  SKY_BASIS_HORIZONTAL_LX,
  type Surroundings,
  skyCoefficients,
  srgbEncode,
} from '../../exposure/index.ts';
import type { Conditions } from '../../lights/index.ts';
import type { SceneModel } from '../../scene/index.ts';
import type { StageLayer, StageLayerFactory } from '../layer.ts';
import { FrameLight, GRID_X, GRID_Y } from './frameLight.ts';
import { paneFragment, paneVertex } from './paneShader.ts';
import { layRooms, type Room, type RoomTiles, roomMeanLuminance } from './room.ts';
import { paintRoom, ROOM_FACES, ROOM_TILE_PX, ROOM_TOP } from './roomTiles.ts';

/** Far things mirrored in dark panes: foliage in proportion (.08), lit by a third of the sky. */
const FAR_RHO: readonly [number, number, number] = [0.05, 0.083, 0.05];

/** Styles that lit windows of this scene need, painted once each. */
function paintStyles(rooms: readonly Room[], lit: readonly boolean[]): Map<number, RoomTiles> {
  const tiles = new Map<number, RoomTiles>();
  rooms.forEach((room, i) => {
    if (lit[i] && !tiles.has(room.style)) tiles.set(room.style, { data: paintRoom(room.style), px: ROOM_TILE_PX });
  });
  return tiles;
}

/** All painted rooms as layers of one texture, sRGB-coded so that 8 bits carry the dark parts; `slot` of a style in it. */
function roomTexture(styles: Map<number, RoomTiles>): { texture: DataArrayTexture; slot: Map<number, number> } {
  const layer = ROOM_TILE_PX * ROOM_TILE_PX * 4;
  const count = Math.max(1, styles.size) * ROOM_FACES.length;
  const data = new Uint8Array(layer * count);
  const slot = new Map<number, number>();
  const code = Uint8Array.from({ length: 4097 }, (_, i) => Math.round(255 * srgbEncode(i / 4096)));
  for (const [style, tiles] of styles) {
    const at = slot.size * ROOM_FACES.length * layer;
    slot.set(style, slot.size);
    for (let i = 0; i < tiles.data.length; i++) {
      const v = tiles.data[i]!;
      data[at + i] =
        i % 4 === 3 ? Math.round(255 * Math.min(1, v)) : code[Math.round(4096 * Math.min(1, Math.max(0, v / ROOM_TOP)))]!;
    }
  }
  const texture = new DataArrayTexture(data, ROOM_TILE_PX, ROOM_TILE_PX, count);
  texture.format = RGBAFormat;
  texture.colorSpace = SRGBColorSpace;
  texture.minFilter = LinearMipmapLinearFilter;
  texture.magFilter = LinearFilter;
  texture.generateMipmaps = true;
  texture.needsUpdate = true;
  return { texture, slot };
}

function paneGeometry(
  scene: SceneModel,
  rooms: readonly Room[],
  styles: Map<number, RoomTiles>,
  slot: Map<number, number>,
): InstancedBufferGeometry {
  const { panes } = scene;
  const rows = {
    aOrigin: [] as number[],
    aU: [] as number[],
    aV: [] as number[],
    aSize: [] as number[],
    aRoom: [] as number[],
    aLook: [] as number[],
    aLit: [] as number[],
    aPaint: [] as number[],
  };
  panes.forEach((pane, i) => {
    const room = rooms[i]!;
    const tiles = styles.get(room.style);
    const colour = cctToLinearRgb(pane.litCctK);
    const scale = pane.litCdM2 > 0 && tiles ? pane.litCdM2 / roomMeanLuminance(room, tiles, pane) : 0;
    rows.aOrigin.push(...pane.origin);
    rows.aU.push(...pane.u);
    rows.aV.push(...pane.v);
    rows.aSize.push(pane.widthM, pane.heightM, pane.panesAcross, pane.panesUp);
    rows.aRoom.push(room.s0, room.s1, room.t0, room.t1);
    rows.aLook.push(slot.get(room.style) ?? 0, room.mirrored ? 1 : 0, room.depthM, i);
    rows.aLit.push(colour[0] * scale, colour[1] * scale, colour[2] * scale, scale > 0 ? 1 : 0);
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

export interface PanesLayer extends StageLayer {
  setSurroundings(surroundings: Surroundings): void;
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
  const styles = paintStyles(
    rooms,
    panes.map((pane) => pane.litCdM2 > 0),
  );
  const { texture, slot } = roomTexture(styles);
  const light = new FrameLight(scene);
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
    uFrames: { value: frames },
    uPanes: { value: Math.max(1, panes.length) },
  };
  const material = new ShaderMaterial({ vertexShader: paneVertex, fragmentShader: paneFragment, uniforms: cells });
  const mesh = new Mesh(paneGeometry(scene, rooms, styles, slot), material);
  mesh.frustumCulled = false;
  mesh.name = 'panes';
  mesh.visible = panes.length > 0;
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
    object3d: mesh,
    setField(update) {
      if (!light.setField(update)) return;
      packFrames(light.cells, panes.length, frameData);
      frames.needsUpdate = true;
    },
    setConditions(next) {
      conditions = next;
      applySky();
    },
    setSurroundings(next) {
      surroundings = next;
      applySky();
    },
    restore() {
      texture.needsUpdate = true;
      frames.needsUpdate = true;
    },
    dispose() {
      mesh.geometry.dispose();
      material.dispose();
      texture.dispose();
      frames.dispose();
    },
  };
};

/** Three blocks side by side: direct, vector, indirect. */
function packFrames(cells: Float32Array, panes: number, out: Uint16Array): void {
  const half = DataUtils.toHalfFloat;
  for (let pane = 0; pane < panes; pane++)
    for (let y = 0; y < GRID_Y; y++)
      for (let x = 0; x < GRID_X; x++)
        for (let block = 0; block < 3; block++) {
          const to = ((pane * GRID_Y + y) * 3 * GRID_X + block * GRID_X + x) * 4;
          const at = ((pane * GRID_Y + y) * GRID_X + x) * 9 + block * 3;
          for (let c = 0; c < 3; c++) out[to + c] = half(Math.min(60000, Math.max(-60000, cells[at + c]!)));
        }
}
