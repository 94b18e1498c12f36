import { DataTexture, HalfFloatType, LinearFilter, RGBAFormat, Vector2, type WebGLRenderer } from 'three';
import { TILE_SAMPLES } from '../../lights/index.ts';
import type { FieldUpdate } from '../../worker/index.ts';
import { ATLAS_ROW_STEP, ATLAS_WIDTH_TEXELS, rowsForSlot, slotOriginTexel } from './atlas.ts';

const PARTS = ['direct', 'vector', 'indirect'] as const;
type Part = (typeof PARTS)[number];
const SLOT_NUMBERS = TILE_SAMPLES * TILE_SAMPLES * 4;
const SLOT_ROW_NUMBERS = TILE_SAMPLES * 4;

/** Uniform cells of the three atlases, shared by every surface program. */
export interface FieldUniforms {
  tDirect: { value: DataTexture };
  tVector: { value: DataTexture };
  tIndirect: { value: DataTexture };
  /** 1 / atlas size, per texel. */
  uAtlasInverse: { value: Vector2 };
}

/**
 * The light field on the GPU: direct E, light vector and indirect E as three half-float atlases of 32 × 32 slots. A copy
 * stays in memory, so that growing and a lost context need no new solve. Slots that changed are uploaded alone.
 */
export class FieldTextures {
  readonly uniforms: FieldUniforms;
  private rows = ATLAS_ROW_STEP;
  private readonly changed = new Set<number>();
  private wholeUpload = true;

  constructor() {
    this.uniforms = {
      tDirect: { value: atlasTexture(this.rows) },
      tVector: { value: atlasTexture(this.rows) },
      tIndirect: { value: atlasTexture(this.rows) },
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
      for (const part of PARTS) copySlot(this.texture(part), slot, update[part], k * SLOT_NUMBERS);
      this.changed.add(slot);
    });
  }

  /** Brings changed slots to the GPU; call before drawing. */
  upload(renderer: WebGLRenderer): void {
    const many = this.changed.size * TILE_SAMPLES * TILE_SAMPLES > 0.5 * ATLAS_WIDTH_TEXELS * this.rows * TILE_SAMPLES;
    if (this.wholeUpload || many) {
      for (const part of PARTS) this.texture(part).needsUpdate = true;
      this.wholeUpload = false;
    } else if (this.changed.size > 0) for (const part of PARTS) this.uploadSlots(renderer, this.texture(part));
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
    return part === 'direct'
      ? this.uniforms.tDirect.value
      : part === 'vector'
        ? this.uniforms.tVector.value
        : this.uniforms.tIndirect.value;
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
    const replace = (old: DataTexture): DataTexture => {
      const next = atlasTexture(rows);
      (next.image.data as Uint16Array).set(old.image.data as Uint16Array);
      old.dispose();
      return next;
    };
    this.uniforms.tDirect.value = replace(this.uniforms.tDirect.value);
    this.uniforms.tVector.value = replace(this.uniforms.tVector.value);
    this.uniforms.tIndirect.value = replace(this.uniforms.tIndirect.value);
    this.rows = rows;
    this.wholeUpload = true;
    this.setInverse();
  }

  private setInverse(): void {
    this.uniforms.uAtlasInverse.value.set(1 / ATLAS_WIDTH_TEXELS, 1 / (this.rows * TILE_SAMPLES));
  }
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
