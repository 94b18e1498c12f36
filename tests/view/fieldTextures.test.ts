import type { DataTexture, WebGLRenderer } from 'three';
import { describe, expect, it } from 'vitest';
import { slotOriginTexel } from '../../src/view/field/atlas.ts';
import { FieldTextures } from '../../src/view/field/fieldTextures.ts';
import type { FieldUpdate } from '../../src/worker/index.ts';

/** A renderer whose only texture calls are allocation and `texSubImage2D`, kept as images. */
function fakeRenderer() {
  const images = new Map<unknown, { width: number; data: Uint16Array }>();
  let bound: { width: number; data: Uint16Array };
  let calls = 0;
  const gl = {
    pixelStorei: () => {},
    texSubImage2D(_target: number, _level: number, x: number, y: number, w: number, h: number, ...rest: unknown[]) {
      const [from, at] = rest.slice(-2) as [Uint16Array, number];
      calls++;
      for (let j = 0; j < h; j++)
        bound.data.set(from.subarray(at + j * w * 4, at + (j + 1) * w * 4), ((y + j) * bound.width + x) * 4);
    },
  };
  const renderer = {
    getContext: () => gl,
    initTexture(texture: DataTexture) {
      const { width, height } = texture.image;
      if (!images.has(texture)) images.set(texture, { width, data: new Uint16Array(width * height * 4) });
    },
    properties: { get: (texture: unknown) => ({ __webglTexture: texture }) },
    state: {
      bindTexture: (_: number, texture: unknown) => {
        bound = images.get(texture)!;
      },
      unbindTexture: () => {},
    },
  };
  return { renderer: renderer as unknown as WebGLRenderer, imageOf: (t: unknown) => images.get(t)!, calls: () => calls };
}

const SLOT = 32 * 32 * 4;
const numbers = (value: number, n: number): Uint16Array =>
  Uint16Array.from({ length: n * SLOT }, (_, i) => value + Math.floor(i / SLOT));
const update = (slots: number[], value: number, crossed?: FieldUpdate['crossed']): FieldUpdate => ({
  revision: 1,
  stage: 'settled',
  slots,
  direct: numbers(value, slots.length),
  indirect: numbers(value + 5000, slots.length),
  valid: new Uint32Array(slots.length * 32).fill(0xffff),
  ...(crossed ? { crossed } : {}),
});

describe('the field on its way to the picture', () => {
  it('second vectors take the slot of their tile in a texture that is small until there are any', () => {
    const textures = new FieldTextures();
    const { renderer, imageOf } = fakeRenderer();
    const size = (name: 'tDirect' | 'tSecond'): number => textures.uniforms[name].value.image.height;
    expect(size('tSecond')).toBeLessThan(0.1 * size('tDirect'));
    textures.setField(update([0, 1], 1, { slots: [1], vector: numbers(9, 1) }));
    expect(size('tSecond')).toBe(size('tDirect'));
    textures.upload(renderer);
    const { data, width } = imageOf(textures.uniforms.tSecond.value);
    expect([data[0], data[32 * width * 4]]).toEqual([0, 9]);
  });

  it('every slot reaches its place, runs in one call, the newest after older ones, and all again after growth', () => {
    const textures = new FieldTextures();
    const { renderer, imageOf, calls } = fakeRenderer();
    const all = Array.from({ length: 40 }, (_, slot) => slot);
    textures.setField(update(all, 100));
    textures.upload(renderer);
    // 40 slots are three columns of a band, in two atlases.
    expect(calls()).toBe(6);
    textures.setField(update([7, 33], 300));
    textures.upload(renderer);
    textures.setField(update([900], 400));
    textures.upload(renderer);
    for (const [part, base] of [
      ['tDirect', 0],
      ['tIndirect', 5000],
    ] as const) {
      const { data, width } = imageOf(textures.uniforms[part].value);
      const at = (slot: number): number[] =>
        [0, 31].map((k) => {
          const { x, y } = slotOriginTexel(slot);
          return data[((y + k) * width + x + k) * 4]! - base;
        });
      expect(at(0)).toEqual([100, 100]);
      expect(at(39)).toEqual([139, 139]);
      expect([at(7), at(33)]).toEqual([
        [300, 300],
        [301, 301],
      ]);
      expect(at(900)).toEqual([400, 400]);
    }
  });

  it('tells the light of a texel where there is a sample, and nothing elsewhere', () => {
    const textures = new FieldTextures();
    const one = 0x3c00;
    textures.setField({ ...update([5], 0), direct: new Uint16Array(SLOT).fill(one) });
    const { x, y } = slotOriginTexel(5);
    expect(textures.lightAt(x + 15, y + 3)?.direct).toEqual([1, 1, 1]);
    expect(textures.lightAt(x + 16, y + 3)).toBeUndefined();
    expect(textures.lightAt(x + 32, y)).toBeUndefined();
  });
});
