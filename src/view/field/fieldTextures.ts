import { DataTexture, DataUtils, HalfFloatType, LinearFilter, RGBAFormat, Vector2, type WebGLRenderer } from 'three';
import { type Rgb, TILE_SAMPLES } from '../../lights/index.ts';
import type { FieldUpdate } from '../../worker/index.ts';
import { ATLAS_COLUMNS, ATLAS_ROW_STEP, ATLAS_WIDTH_TEXELS, rowsForSlot, slotOriginTexel } from './atlas.ts';

const UNIFORMS = { direct: 'tDirect', indirect: 'tIndirect', second: 'tSecond' } as const;
type Part = keyof typeof UNIFORMS;
const PARTS = Object.keys(UNIFORMS) as Part[];
const SLOT_NUMBERS = TILE_SAMPLES * TILE_SAMPLES * 4;
const SLOT_ROW_NUMBERS = TILE_SAMPLES * 4;

/** Uniform cells of the atlases, shared by every surface program. */
export interface FieldUniforms {
  /** Direct E, A = x of the light vector. */
  tDirect: { value: DataTexture };
  /** Indirect E, A = y of the light vector. */
  tIndirect: { value: DataTexture };
  /** Second light vector of crossed tiles, in the same slots; one row of slots until there are any. */
  tSecond: { value: DataTexture };
  /** 1 / atlas size, per texel. */
  uAtlasInverse: { value: Vector2 };
}

/**
 * The light field on the GPU: direct and indirect E as two half-float atlases of 32 × 32 slots, the light vector in what is
 * left of them (its z is the luminance of direct E), and a third for second vectors once there are any. A copy stays in memory, so that growing and a lost context need no new solve. Slots that changed are uploaded alone.
 */
export class FieldTextures {
  readonly uniforms: FieldUniforms;
  private rows = ATLAS_ROW_STEP;
  private valid = new Uint32Array(ATLAS_ROW_STEP * ATLAS_COLUMNS * TILE_SAMPLES);
  private readonly changed = new Set<number>();
  private wholeUpload = true;
  private hasSecond = false;

  constructor() {
    this.uniforms = {
      tDirect: { value: atlasTexture(this.rows) },
      tIndirect: { value: atlasTexture(this.rows) },
      tSecond: { value: atlasTexture(1) },
      uAtlasInverse: { value: new Vector2() },
    };
    this.setInverse();
  }

  /** Copies the slots of an update; they reach the GPU with `upload`. */
  setField(update: FieldUpdate): void {
    let highest = -1;
    for (const slot of update.slots) highest = Math.max(highest, slot);
    if (rowsForSlot(highest) > this.rows) this.grow(rowsForSlot(highest));
    update.slots.forEach((slot, k) => {
      copySlot(this.texture('direct'), slot, update.direct, k * SLOT_NUMBERS);
      copySlot(this.texture('indirect'), slot, update.indirect, k * SLOT_NUMBERS);
      this.valid.set(update.valid.subarray(k * TILE_SAMPLES, (k + 1) * TILE_SAMPLES), slot * TILE_SAMPLES);
      this.changed.add(slot);
    });
    if (!update.crossed) return;
    if (!this.hasSecond) this.enlarge('second', this.rows);
    this.hasSecond = true;
    update.crossed.slots.forEach((slot, k) => {
      copySlot(this.texture('second'), slot, update.crossed!.vector, k * SLOT_NUMBERS);
      this.changed.add(slot);
    });
  }

  /** Direct and indirect light of one texel, RGB lux; undefined where it holds no sample. */
  lightAt(x: number, y: number): { direct: Rgb; indirect: Rgb } | undefined {
    const i = (y * ATLAS_WIDTH_TEXELS + x) * 4;
    if (((this.valid[validRowAt(x, y)] ?? 0) & (1 << (x % TILE_SAMPLES))) === 0) return undefined;
    return {
      direct: rgbAt(this.texture('direct').image.data as Uint16Array, i),
      indirect: rgbAt(this.texture('indirect').image.data as Uint16Array, i),
    };
  }

  /** Brings changed slots to the GPU; call before drawing. */
  upload(renderer: WebGLRenderer): void {
    const parts = this.hasSecond ? PARTS : PARTS.filter((part) => part !== 'second');
    const many = this.changed.size * TILE_SAMPLES * TILE_SAMPLES > 0.5 * ATLAS_WIDTH_TEXELS * this.rows * TILE_SAMPLES;
    if (this.wholeUpload || many) {
      for (const part of parts) this.texture(part).needsUpdate = true;
      this.wholeUpload = false;
    } else if (this.changed.size > 0) for (const part of parts) this.uploadSlots(renderer, this.texture(part));
    this.changed.clear();
  }

  /** After a lost context: everything again. */
  restore(): void {
    this.wholeUpload = true;
  }

  dispose(): void {
    for (const part of PARTS) this.texture(part).dispose();
  }

  private texture(part: Part): DataTexture {
    return this.uniforms[UNIFORMS[part]].value;
  }

  private uploadSlots(renderer: WebGLRenderer, texture: DataTexture): void {
    const gl = renderer.getContext() as WebGL2RenderingContext;
    const handle = (renderer.properties.get(texture) as { __webglTexture?: WebGLTexture }).__webglTexture;
    if (handle === undefined) {
      texture.needsUpdate = true;
      return;
    }
    renderer.state.bindTexture(gl.TEXTURE_2D, handle);
    gl.pixelStorei(gl.UNPACK_FLIP_Y_WEBGL, false);
    gl.pixelStorei(gl.UNPACK_PREMULTIPLY_ALPHA_WEBGL, false);
    gl.pixelStorei(gl.UNPACK_ALIGNMENT, 4);
    const data = texture.image.data as Uint16Array;
    const slotData = new Uint16Array(SLOT_NUMBERS);
    for (const slot of this.changed) {
      const { x, y } = slotOriginTexel(slot);
      for (let j = 0; j < TILE_SAMPLES; j++) {
        const at = ((y + j) * ATLAS_WIDTH_TEXELS + x) * 4;
        slotData.set(data.subarray(at, at + SLOT_ROW_NUMBERS), j * SLOT_ROW_NUMBERS);
      }
      gl.texSubImage2D(gl.TEXTURE_2D, 0, x, y, TILE_SAMPLES, TILE_SAMPLES, gl.RGBA, gl.HALF_FLOAT, slotData);
    }
    renderer.state.unbindTexture();
  }

  private grow(rows: number): void {
    for (const part of PARTS) if (part !== 'second' || this.hasSecond) this.enlarge(part, rows);
    const valid = new Uint32Array(rows * ATLAS_COLUMNS * TILE_SAMPLES);
    valid.set(this.valid);
    this.valid = valid;
    this.rows = rows;
    this.setInverse();
  }

  private enlarge(part: Part, rows: number): void {
    const old = this.texture(part);
    const next = atlasTexture(rows);
    (next.image.data as Uint16Array).set(old.image.data as Uint16Array);
    old.dispose();
    this.uniforms[UNIFORMS[part]].value = next;
    this.wholeUpload = true;
  }

  private setInverse(): void {
    this.uniforms.uAtlasInverse.value.set(1 / ATLAS_WIDTH_TEXELS, 1 / (this.rows * TILE_SAMPLES));
  }
}

/** Number of the row of samples that holds a texel, slot by slot. */
function validRowAt(x: number, y: number): number {
  const slot = Math.floor(y / TILE_SAMPLES) * ATLAS_COLUMNS + Math.floor(x / TILE_SAMPLES);
  return slot * TILE_SAMPLES + (y % TILE_SAMPLES);
}

function rgbAt(halves: Uint16Array, i: number): Rgb {
  return [0, 1, 2].map((c) => DataUtils.fromHalfFloat(halves[i + c]!)) as unknown as Rgb;
}

function copySlot(texture: DataTexture, slot: number, from: Uint16Array, fromAt: number): void {
  const data = texture.image.data as Uint16Array;
  const { x, y } = slotOriginTexel(slot);
  for (let j = 0; j < TILE_SAMPLES; j++) {
    const row = from.subarray(fromAt + j * SLOT_ROW_NUMBERS, fromAt + (j + 1) * SLOT_ROW_NUMBERS);
    data.set(row, ((y + j) * ATLAS_WIDTH_TEXELS + x) * 4);
  }
}

function atlasTexture(rows: number): DataTexture {
  const height = rows * TILE_SAMPLES;
  const data = new Uint16Array(ATLAS_WIDTH_TEXELS * height * 4);
  const texture = new DataTexture(data, ATLAS_WIDTH_TEXELS, height, RGBAFormat, HalfFloatType);
  texture.magFilter = LinearFilter;
  texture.minFilter = LinearFilter;
  texture.generateMipmaps = false;
  texture.needsUpdate = true;
  return texture;
}
