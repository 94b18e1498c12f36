import { DataUtils } from 'three';
import { describe, expect, it } from 'vitest';
import { LEAF_SHARE, type PlantRecord, type Strand, TWIG_SHARE } from '../../src/scene/index.ts';
import { growPlant } from '../../src/scene/plants/index.ts';
import { createLevels } from '../../src/view/plants/cardLevels.ts';
import { CARD_TEXELS, clumpLightVectors, packCardLight, roundedShares } from '../../src/view/plants/cardLight.ts';
import { drawLeafAtlas, leafMips, meanBrightness } from '../../src/view/plants/leafTiles.ts';
import { strandLightDirections } from '../../src/view/plants/strandLight.ts';
import { strandFragment } from '../../src/view/plants/strandShader.ts';

const shrub: PlantRecord = {
  kind: 'plant',
  id: 'shrub-1',
  name: 'shrub',
  habit: 'shrub',
  at: [0, 0],
  baseM: 0,
  heightM: 1,
  spreadM: 1.2,
  bearingDeg: 0,
  crownBaseM: 0,
  trunkDiameterM: 0.04,
  density: 'medium',
  bark: 'brown',
  leanDeg: 0,
  leanBearingDeg: 0,
  growth: 'medium',
  evergreen: false,
  seed: 3,
};

describe('leaf atlas, seed 7', () => {
  const atlas = drawLeafAtlas(256, LEAF_SHARE);
  const levels = leafMips(atlas);
  const cover = (data: Uint8Array) => {
    let n = 0;
    for (let i = 3; i < data.length; i += 4) n += data[i]! >= 128 ? 1 : 0;
    return n / (data.length / 4);
  };

  it('covers the share of a card that growing counts as leaf, within 2 %', () => {
    expect(cover(atlas.rgba) / LEAF_SHARE).toBeGreaterThan(0.98);
    expect(cover(atlas.rgba) / LEAF_SHARE).toBeLessThan(1.02);
  });

  it('keeps that cover in its smaller copies, so that far crowns do not thin out', () => {
    for (const level of levels.filter((l) => l.width >= 8)) expect(Math.abs(cover(level.data) - LEAF_SHARE)).toBeLessThan(0.04);
  });

  it('a tuft keeps it too, and what shows of its thin upper half, once copies are too coarse for single blades', () => {
    const tuft = drawLeafAtlas(256, LEAF_SHARE, 'blade');
    const upper = (data: Uint8Array, width: number) => {
      const half = width / 2;
      let n = 0;
      for (let y = 0; y < half; y++)
        for (let x = 0; x < half; x++) n += y >= half / 2 && data[(y * width + x) * 4 + 3]! >= 128 ? 1 : 0;
      return n / ((half * half) / 2);
    };
    const fine = upper(tuft.rgba, 256);
    expect(fine).toBeGreaterThan(0.1);
    for (const { data, width } of leafMips(tuft, 'streaks').filter((l) => l.width >= 16)) {
      expect(Math.abs(cover(data) - LEAF_SHARE)).toBeLessThan(0.04);
      expect(Math.abs(upper(data, width) / fine - 1), `${width} texels`).toBeLessThan(0.35);
    }
  });

  it('tilts its leaves both ways alike: the mean tilt is small', () => {
    let x = 0;
    let y = 0;
    let n = 0;
    for (let i = 0; i < atlas.rgba.length; i += 4) {
      if (atlas.rgba[i + 3]! < 128) continue;
      x += atlas.rgba[i]! / 255 - 0.5;
      y += atlas.rgba[i + 1]! / 255 - 0.5;
      n++;
    }
    expect(Math.abs(x / n)).toBeLessThan(0.06);
    expect(Math.abs(y / n)).toBeLessThan(0.06);
  });

  it('knows its mean brightness, by which the shader divides', () => {
    expect(meanBrightness(atlas)).toBeGreaterThan(0.5);
    expect(meanBrightness(atlas)).toBeLessThan(1);
  });
});

describe.each(['broad', 'fine', 'narrow', 'box', 'needle', 'frond', 'blade', 'ivy', 'twig'] as const)(
  'leaves of kind %s',
  (sheet) => {
    const share = sheet === 'twig' ? TWIG_SHARE : LEAF_SHARE;
    it('cover their share of the cards at the size they are drawn in, within 2 %', () => {
      expect(Math.abs(drawLeafAtlas(512, share, sheet).cover / share - 1)).toBeLessThan(0.02);
    });
  },
);

describe('far crowns', () => {
  const { model } = growPlant(shrub);
  const count = model.cards.length / 8;
  const levels = createLevels(model);

  it('are drawn with half and a quarter of the cards, of equal area, every clump keeping some', () => {
    for (const [px, share] of [
      [20, 1],
      [7, 0.5],
      [3, 0.25],
    ] as const) {
      const level = levels.levelFor(px);
      expect(Math.abs(level.cards / count - share)).toBeLessThan(0.01);
      expect(level.cards * level.grow ** 2).toBeCloseTo(count, 3);
      const clumps = new Set([...levels.order.subarray(0, level.cards)].map((i) => model.cards[i * 8 + 7]));
      expect(clumps.size).toBe(model.clumps.length / 5);
    }
  });

  it('draw each card once', () => {
    expect([...levels.order].sort((a, b) => a - b)).toEqual(Array.from({ length: count }, (_, i) => i));
  });
});

describe('light on cards', () => {
  const { model } = growPlant(shrub);
  const count = model.cards.length / 8;
  /** One far source along `to`: E_front − E_back = E·(n·to), exactly the light vector's projection. */
  const to = [0.48, -0.6, 0.64] as const;
  const difference = Float32Array.from({ length: count }, (_, i) => {
    const n = model.cards.subarray(i * 8 + 3, i * 8 + 6);
    return 40 * (n[0]! * to[0] + n[1]! * to[1] + n[2]! * to[2]);
  });

  it('finds the light vector of one far source from the two sides of the cards (Gershun: E₊ − E₋ = V·n)', () => {
    const vectors = clumpLightVectors(model, difference);
    for (let k = 0; k < vectors.length; k += 3) {
      const size = Math.hypot(vectors[k]!, vectors[k + 1]!, vectors[k + 2]!);
      const cos = (vectors[k]! * to[0] + vectors[k + 1]! * to[1] + vectors[k + 2]! * to[2]) / size;
      expect(cos).toBeGreaterThan(0.95);
      expect(size).toBeGreaterThan(0.6 * 40);
      expect(size).toBeLessThan(1.02 * 40);
    }
  });

  it('hands front and back through untouched and adds a unit direction', () => {
    const field = new Uint16Array((count + 2) * 8);
    for (let i = 0; i < count; i++)
      for (let c = 0; c < 3; c++) {
        field[(i + 2) * 8 + c] = DataUtils.toHalfFloat(Math.max(0, difference[i]!));
        field[(i + 2) * 8 + 4 + c] = DataUtils.toHalfFloat(Math.max(0, -difference[i]!));
      }
    const out = new Uint16Array(count * CARD_TEXELS * 4);
    packCardLight(model, field, 2, out);
    for (let i = 0; i < count; i++) {
      expect([...out.subarray(i * 12, i * 12 + 8)]).toEqual([...field.subarray((i + 2) * 8, (i + 3) * 8)]);
      const d = [0, 1, 2].map((c) => DataUtils.fromHalfFloat(out[i * 12 + 8 + c]!));
      expect(Math.hypot(...d)).toBeCloseTo(1, 2);
    }
  });
});

describe('light on limbs', () => {
  const sides = 8;
  const rings = 5;
  const strand: Strand = {
    id: 'a/limb-0',
    partId: 'a',
    section: 'round',
    ringsM: Float32Array.from({ length: rings * 3 }, (_, i) => (i % 3 === 1 ? Math.floor(i / 3) * 0.3 : 0)),
    radiiM: new Float32Array(rings).fill(0.1),
    sides,
    material: 0,
    occludes: true,
  };
  const normals = Float32Array.from({ length: rings * sides * 3 }, (_, i) => {
    const a = ((Math.floor(i / 3) % sides) * 2 * Math.PI) / sides;
    return [Math.cos(a), 0, Math.sin(a)][i % 3]!;
  });

  function directionsFor(lux: (ring: number, normalX: number) => number): Float32Array {
    const light = new Uint16Array(rings * sides * 4);
    for (let v = 0; v < rings * sides; v++)
      light.fill(DataUtils.toHalfFloat(lux(Math.floor(v / sides), normals[v * 3]!)), v * 4, v * 4 + 3);
    const out = new Float32Array(rings * sides * 3);
    strandLightDirections(strand, light, 0, normals, out, 0);
    return out;
  }

  it('points to a lamp at the side', () => {
    const d = directionsFor((_, x) => 20 * Math.max(0, x));
    expect(d[0]).toBeGreaterThan(0.9);
    expect(Math.abs(d[2]!)).toBeLessThan(0.1);
  });

  it('points down to a lamp at the foot of the trunk', () => {
    const d = directionsFor((ring) => 20 / (1 + ring));
    expect(d[2 * sides * 3 + 1]).toBeLessThan(-0.5);
  });

  it('has no side in even light', () => {
    expect(Math.hypot(...directionsFor(() => 5).subarray(0, 3))).toBeLessThan(0.01);
  });
});

describe('needle sprays', () => {
  const conifer = growPlant({ ...shrub, habit: 'conical', heightM: 6, spreadM: 2.4, crownBaseM: 0.4 }).model;

  it('look much alike however their cards are turned, with the light of the whole plant kept', () => {
    const brighter = Float32Array.from({ length: conifer.cards.length / 8 }, (_, i) => 10 * Math.abs(conifer.cards[i * 8 + 4]!));
    const round = roundedShares(conifer, brighter).map((share, i) => share * brighter[i]!);
    const spread = (list: Float32Array, clump: number) => {
      const own = [...list].filter((_, i) => conifer.cards[i * 8 + 7] === clump);
      const mean = own.reduce((a, b) => a + b, 0) / own.length;
      return { mean, off: Math.sqrt(own.reduce((a, b) => a + (b - mean) ** 2, 0) / own.length) };
    };
    const sum = (list: Float32Array) => list.reduce((a, b) => a + b, 0);
    expect(sum(round) / sum(brighter)).toBeCloseTo(1, 3);
    for (const clump of [0, 20, 60]) {
      const [was, is] = [spread(brighter, clump), spread(round, clump)];
      expect(Math.abs(is.mean / was.mean - 1)).toBeLessThan(0.4);
      expect(is.off).toBeLessThan(0.15 * was.off);
    }
  });

  it('a clump that is lit alone shares with those that touch it, none goes dark', () => {
    const clump = 20;
    const alone = Float32Array.from({ length: conifer.cards.length / 8 }, (_, i) =>
      conifer.cards[i * 8 + 7] === clump ? 50 : 1,
    );
    const round = roundedShares(conifer, alone).map((share, i) => share * alone[i]!);
    const own = round.findIndex((_, i) => conifer.cards[i * 8 + 7] === clump);
    expect(round[own]).toBeLessThan(40);
    expect(Math.min(...round)).toBeGreaterThan(0.9);
    expect(round.reduce((a, b) => a + b, 0) / alone.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 3);
  });

  it('send out of both sides together what falls on both (their halves mix, nothing is added)', () => {
    const count = conifer.cards.length / 8;
    const field = new Uint16Array(count * 8);
    for (let i = 0; i < count; i++) for (let c = 0; c < 3; c++) field[i * 8 + c] = DataUtils.toHalfFloat(8);
    const out = new Uint16Array(count * CARD_TEXELS * 4);
    packCardLight(conifer, field, 0, out);
    for (let i = 0; i < count; i += 37) {
      const [front, back] = [DataUtils.fromHalfFloat(out[i * 12]!), DataUtils.fromHalfFloat(out[i * 12 + 4]!)];
      expect(front + back).toBeCloseTo(8, 1);
      expect(back).toBeGreaterThan(0.2 * front);
      expect(back).toBeLessThan(front);
    }
  });
});

it('level bark changes no light, whichever side the lamp stands on: the sky on the far side stays (light adds up)', () => {
  // The line of the program itself, with the two functions that it calls.
  const line = /float turned = (.*);/.exec(strandFragment)![1]!;
  const turned = new Function('dot', 'max', 'm', 'n', 'from', `return ${line};`);
  const dot = (a: number[], b: number[]): number => a.reduce((sum, v, k) => sum + v * b[k]!, 0);
  for (let k = 0; k < 16; k++) {
    const from = [Math.cos((k * Math.PI) / 8), 0, Math.sin((k * Math.PI) / 8)];
    expect(turned(dot, Math.max, [1, 0, 0], [1, 0, 0], from)).toBeCloseTo(1, 9);
  }
  // A ridge turned to the lamp is brighter than level bark, one turned away darker.
  const side = [Math.SQRT1_2, 0, Math.SQRT1_2];
  expect(turned(dot, Math.max, side, [1, 0, 0], side)).toBeGreaterThan(1.2);
  expect(turned(dot, Math.max, [Math.SQRT1_2, 0, -Math.SQRT1_2], [1, 0, 0], side)).toBeLessThan(0.5);
});
