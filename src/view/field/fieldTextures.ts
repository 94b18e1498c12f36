import { DataTexture, DataUtils, HalfFloatType, LinearFilter, RGBAFormat, Vector2, type WebGLRenderer } from 'three';
import { type Rgb, TILE_SAMPLES } from '../../lights/index.ts';
import type { FieldUpdate } from '../../worker/index.ts';
import { ATLAS_ROW_STEP, ATLAS_WIDTH_TEXELS, nextIsAbove, rowsForSlot, slotAtTexel, slotOriginTexel } from './atlas.ts';

const UNIFORMS = { direct: 'tDirect', indirect: 'tIndirect', second: 'tSecond' } as const;
type Part = keyof typeof UNIFORMS;
const PARTS = Object.keys(UNIFORMS) as Part[];
const SLOT_NUMBERS = TILE_SAMPLES * TILE_SAMPLES * 4;

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

/** Samples of slots as an update brought them: those of its slot `k` begin at `k × SLOT_NUMBERS`. */
interface Kept {
  values: Uint16Array;
  k: number;
}

/**
 * The light field on the GPU: direct and indirect E as two half-float atlases of 32 × 32 slots, the light vector in what is
 * left of them (its z is the luminance of direct E), and a third for second vectors once there are any. Of each slot the newest
 * update is kept, so that growing and a lost context need no new solve. Slots that changed are uploaded alone.
 */
export class FieldTextures {
  readonly uniforms: FieldUniforms;
  private rows = ATLAS_ROW_STEP;
  private readonly kept: Record<Part, Map<number, Kept>> = { direct: new Map(), indirect: new Map(), second: new Map() };
  /** A row of samples a number, bit i for sample i: it lies on the face and is free. */
  private readonly valid = new Map<number, { rows: Uint32Array; k: number }>();
  private readonly changed = new Set<number>();

  constructor() {
    this.uniforms = {
      tDirect: { value: atlasTexture(this.rows) },
      tIndirect: { value: atlasTexture(this.rows) },
      tSecond: { value: atlasTexture(1) },
      uAtlasInverse: { value: new Vector2() },
    };
    this.setInverse();
  }

  /** Takes the slots of an update; they reach the GPU with `upload`. */
  setField(update: FieldUpdate): void {
    let highest = -1;
    for (const slot of update.slots) highest = Math.max(highest, slot);
    if (rowsForSlot(highest) > this.rows) this.grow(rowsForSlot(highest));
    update.slots.forEach((slot, k) => {
      this.kept.direct.set(slot, { values: update.direct, k });
      this.kept.indirect.set(slot, { values: update.indirect, k });
      this.valid.set(slot, { rows: update.valid, k });
      this.changed.add(slot);
    });
    if (!update.crossed) return;
    if (this.kept.second.size === 0) this.enlarge('second');
    update.crossed.slots.forEach((slot, k) => {
      this.kept.second.set(slot, { values: update.crossed!.vector, k });
      this.changed.add(slot);
    });
  }

  /** Direct and indirect light of one texel, RGB lux; undefined where it holds no sample. */
  lightAt(x: number, y: number): { direct: Rgb; indirect: Rgb } | undefined {
    const slot = slotAtTexel(x, y);
    const valid = this.valid.get(slot);
    const [i, j] = [x % TILE_SAMPLES, y % TILE_SAMPLES];
    if (!valid || ((valid.rows[valid.k * TILE_SAMPLES + j]! >>> i) & 1) === 0) return undefined;
    const at = (j * TILE_SAMPLES + i) * 4;
    return { direct: rgbAt(this.kept.direct.get(slot)!, at), indirect: rgbAt(this.kept.indirect.get(slot)!, at) };
  }

  /** Brings changed slots to the GPU; call before drawing. */
  upload(renderer: WebGLRenderer): void {
    if (this.changed.size === 0) return;
    const slots = [...this.changed].sort((a, b) => a - b);
    for (const part of PARTS) if (this.kept[part].size > 0) this.uploadPart(renderer, part, slots);
    this.changed.clear();
  }

  /** After a lost context: everything again. */
  restore(): void {
    for (const part of PARTS) {
      this.texture(part).needsUpdate = true;
      for (const slot of this.kept[part].keys()) this.changed.add(slot);
    }
  }

  dispose(): void {
    for (const part of PARTS) this.texture(part).dispose();
  }

  private texture(part: Part): DataTexture {
    return this.uniforms[UNIFORMS[part]].value;
  }

  /** One call for each run of slots that lie above each other in the atlas and one after the other in an update. */
  private uploadPart(renderer: WebGLRenderer, part: Part, slots: readonly number[]): void {
    const gl = renderer.getContext() as WebGL2RenderingContext;
    const texture = this.texture(part);
    const kept = this.kept[part];
    renderer.initTexture(texture);
    const { __webglTexture: handle } = renderer.properties.get(texture) as { __webglTexture: WebGLTexture };
    renderer.state.bindTexture(gl.TEXTURE_2D, handle);
    gl.pixelStorei(gl.UNPACK_FLIP_Y_WEBGL, false);
    gl.pixelStorei(gl.UNPACK_PREMULTIPLY_ALPHA_WEBGL, false);
    gl.pixelStorei(gl.UNPACK_ALIGNMENT, 4);
    for (let n = 0; n < slots.length; ) {
      const first = slots[n]!;
      const from = kept.get(first);
      let run = 1;
      while (
        from &&
        follows(kept.get(slots[n + run]!), from, run) &&
        slots[n + run] === first + run &&
        nextIsAbove(first + run - 1)
      )
        run++;
      n += run;
      if (!from) continue;
      const { x, y } = slotOriginTexel(first);
      const height = run * TILE_SAMPLES;
      gl.texSubImage2D(gl.TEXTURE_2D, 0, x, y, TILE_SAMPLES, height, gl.RGBA, gl.HALF_FLOAT, from.values, from.k * SLOT_NUMBERS);
    }
    renderer.state.unbindTexture();
  }

  private grow(rows: number): void {
    this.rows = rows;
    this.enlarge('direct');
    this.enlarge('indirect');
    if (this.kept.second.size > 0) this.enlarge('second');
    this.setInverse();
  }

  private enlarge(part: Part): void {
    this.texture(part).dispose();
    this.uniforms[UNIFORMS[part]].value = atlasTexture(this.rows);
    for (const slot of this.kept[part].keys()) this.changed.add(slot);
  }

  private setInverse(): void {
    this.uniforms.uAtlasInverse.value.set(1 / ATLAS_WIDTH_TEXELS, 1 / (this.rows * TILE_SAMPLES));
  }
}

const follows = (next: Kept | undefined, from: Kept, steps: number): boolean =>
  next !== undefined && next.values === from.values && next.k === from.k + steps;

function rgbAt({ values, k }: Kept, at: number): Rgb {
  return [0, 1, 2].map((c) => DataUtils.fromHalfFloat(values[k * SLOT_NUMBERS + at + c]!)) as unknown as Rgb;
}

/** Room on the GPU alone, zero as WebGL makes it. */
function atlasTexture(rows: number): DataTexture {
  const texture = new DataTexture(null, ATLAS_WIDTH_TEXELS, rows * TILE_SAMPLES, RGBAFormat, HalfFloatType);
  texture.source.dataReady = false;
  texture.magFilter = LinearFilter;
  texture.minFilter = LinearFilter;
  texture.generateMipmaps = false;
  texture.needsUpdate = true;
  return texture;
}
