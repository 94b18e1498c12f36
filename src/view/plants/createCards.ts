import {
  BufferAttribute,
  BufferGeometry,
  DataTexture,
  DoubleSide,
  Group,
  HalfFloatType,
  LinearFilter,
  LinearMipmapLinearFilter,
  Mesh,
  NearestFilter,
  NoColorSpace,
  RGBAFormat,
  ShaderMaterial,
  Sphere,
  Vector3,
  type WebGLRenderer,
} from 'three';
import { LEAF_SHARE, type LeafSheet, type PlantModel, TWIG_REFLECTANCE_RGB, TWIG_SHARE } from '../../scene/index.ts';
import type { StageLayer, StageLayerFactory, StageUniforms } from '../layer.ts';
import { CARD_TEXELS, packCardLight } from './cardLight.ts';
import { cardFragment, cardVertex } from './cardShader.ts';
import { createLevels, type DetailLevels } from './cardLevels.ts';
import { drawLeafAtlas, leafMips, type MipLevel, meanBrightness } from './leafTiles.ts';

const ATLAS_PX = 512;
const LIGHT_WIDTH = 1024;

interface Painted {
  levels: MipLevel[];
  meanBright: number;
}
const painted = new Map<LeafSheet, Painted>();

const BREAKS: Partial<Record<LeafSheet, 'streaks' | 'grain'>> = {
  blade: 'streaks',
  needle: 'streaks',
  broad: 'grain',
  fine: 'grain',
  narrow: 'grain',
  box: 'grain',
};

/** Paints a kind of leaves, once a page; worth calling while the first light is awaited. */
export function paintLeaves(sheet: LeafSheet = 'broad'): Painted {
  let made = painted.get(sheet);
  if (!made) {
    const atlas = drawLeafAtlas(ATLAS_PX, sheet === 'twig' ? TWIG_SHARE : LEAF_SHARE, sheet);
    made = { levels: leafMips(atlas, BREAKS[sheet]), meanBright: meanBrightness(atlas) };
    painted.set(sheet, made);
  }
  return made;
}

/** A kind of leaves as the materials hold it; their texture is made when first asked for. */
class SheetTextures {
  private readonly made = new Map<LeafSheet, DataTexture>();
  of(sheet: LeafSheet): { texture: DataTexture; meanBright: number } {
    const { levels, meanBright } = paintLeaves(sheet);
    let texture = this.made.get(sheet);
    if (!texture) {
      texture = new DataTexture(levels[0]!.data, ATLAS_PX, ATLAS_PX, RGBAFormat);
      texture.mipmaps = levels;
      texture.minFilter = LinearMipmapLinearFilter;
      texture.magFilter = LinearFilter;
      texture.colorSpace = NoColorSpace;
      texture.generateMipmaps = false;
      texture.needsUpdate = true;
      this.made.set(sheet, texture);
    }
    return { texture, meanBright };
  }
  restore(): void {
    for (const texture of this.made.values()) texture.needsUpdate = true;
  }
  dispose(): void {
    for (const texture of this.made.values()) texture.dispose();
  }
}

function createLightTexture(cards: number): { texture: DataTexture; data: Uint16Array<ArrayBuffer> } {
  const rows = Math.max(1, Math.ceil((cards * CARD_TEXELS) / LIGHT_WIDTH));
  const data = new Uint16Array(LIGHT_WIDTH * rows * 4);
  const texture = new DataTexture(data, LIGHT_WIDTH, rows, RGBAFormat, HalfFloatType);
  texture.minFilter = NearestFilter;
  texture.magFilter = NearestFilter;
  texture.needsUpdate = true;
  return { texture, data };
}

/** Four vertices a card rather than instances: a software rasteriser starts each instance as a draw of its own. */
function cardGeometry(plant: PlantModel, levels: DetailLevels): BufferGeometry {
  const count = plant.cards.length / 8;
  const centre = new Float32Array(count * 16);
  const normal = new Float32Array(count * 16);
  const look = new Float32Array(count * 8);
  const index = new Uint32Array(count * 6);
  for (let v = 0; v < count * 4; v++) {
    const i = v >> 2;
    const c = plant.cards.subarray(i * 8, i * 8 + 8);
    centre.set([c[0]!, c[1]!, c[2]!, c[6]!], v * 4);
    normal.set([c[3]!, c[4]!, c[5]!, plant.cardLook[i * 3]!], v * 4);
    look.set([plant.cardLook[i * 3 + 1]!, plant.cardLook[i * 3 + 2]!], v * 2);
  }
  levels.order.forEach((i, k) => {
    index.set([4 * i, 4 * i + 1, 4 * i + 2, 4 * i, 4 * i + 2, 4 * i + 3], k * 6);
  });
  const geometry = new BufferGeometry();
  geometry.setAttribute('aCentre', new BufferAttribute(centre, 4));
  geometry.setAttribute('aNormal', new BufferAttribute(normal, 4));
  geometry.setAttribute('aLook', new BufferAttribute(look, 2));
  geometry.setIndex(new BufferAttribute(index, 1));
  geometry.boundingSphere = new Sphere(new Vector3(...plant.centre), plant.radiusM * 1.1);
  return geometry;
}

/** Fold of a card along its diagonal, share of its side; what is drawn as one piece stays flat. */
const FOLD: Record<LeafSheet, number> = {
  broad: 0.13,
  fine: 0.15,
  narrow: 0.06,
  box: 0.08,
  needle: 0.05,
  twig: 0.06,
  ivy: 0.02,
  frond: 0,
  blade: 0,
};

/** Declared display: cosine to the line of sight under which a card is left out. Cards drawn as one piece stay. */
const EDGE_ON: Partial<Record<LeafSheet, number>> = { broad: 0.16, fine: 0.16, narrow: 0.12, needle: 0.12, box: 0.08 };

/** Leaf cards of all plants: one mesh a plant, so that plants out of view are skipped. */
export const createCardsLayer: StageLayerFactory = ({ scene, uniforms }): StageLayer => {
  const group = new Group();
  const sheets = new SheetTextures();
  const samples = { value: false };
  let firstCard = 0;
  const parts: PlantPart[] = [];
  for (const plant of scene.plants) {
    const count = plant.cards.length / 8;
    if (count === 0) continue;
    const part = createPart(plant, firstCard, uniforms, samples);
    dressPart(part, sheets, true);
    group.add(part.mesh);
    parts.push(part);
    firstCard += count;
  }
  const eye = new Vector3();
  return {
    object3d: group,
    setField(update) {
      if (!update.cards) return;
      for (const part of parts) {
        packCardLight(part.plant, update.cards, part.firstCard, part.light.data);
        part.light.texture.needsUpdate = true;
      }
    },
    setConditions(conditions) {
      for (const part of parts) dressPart(part, sheets, conditions.leaves === 'on' || part.plant.evergreen);
    },
    beforeDraw(camera) {
      eye.setFromMatrixPosition(camera.matrixWorld);
      for (const part of parts) {
        const { levels, plant, mesh, material } = part;
        const nearM = Math.max(0.2, eye.distanceTo(part.centre) - plant.radiusM);
        const level = levels.levelFor(plant.cards[6]! / (nearM * uniforms.uPixelRad.value));
        material.uniforms.uGrow!.value = level.grow;
        mesh.geometry.setDrawRange(0, level.cards * 6);
      }
    },
    restore() {
      sheets.restore();
      for (const part of parts) part.light.texture.needsUpdate = true;
    },
    dispose() {
      sheets.dispose();
      for (const part of parts) {
        part.mesh.geometry.dispose();
        part.material.dispose();
        part.light.texture.dispose();
      }
    },
  };
};

interface PlantPart {
  plant: PlantModel;
  centre: Vector3;
  mesh: Mesh;
  material: ShaderMaterial;
  light: { texture: DataTexture; data: Uint16Array<ArrayBuffer> };
  levels: DetailLevels;
  firstCard: number;
}

function createPart(plant: PlantModel, firstCard: number, uniforms: StageUniforms, samples: { value: boolean }): PlantPart {
  const light = createLightTexture(plant.cards.length / 8);
  const levels = createLevels(plant);
  const material = new ShaderMaterial({
    vertexShader: cardVertex,
    fragmentShader: cardFragment,
    side: DoubleSide,
    alphaToCoverage: true,
    uniforms: {
      uOutput: uniforms.uOutput,
      uSamples: samples,
      uLeaves: { value: null },
      uMeanBright: { value: 1 },
      uLight: { value: light.texture },
      uLightWidth: { value: LIGHT_WIDTH },
      uGrow: { value: 1 },
      uFold: { value: 0 },
      uEdgeOn: { value: 0 },
      uHue: { value: 1 },
      uSharp: { value: 0 },
      uReflectance: { value: new Vector3() },
      uTransmittance: { value: new Vector3() },
    },
  });
  const mesh = new Mesh(cardGeometry(plant, levels), material);
  mesh.name = `leaves ${plant.id}`;
  mesh.onBeforeRender = (renderer: WebGLRenderer) => {
    samples.value = (renderer.getRenderTarget()?.samples ?? 0) > 0;
  };
  return { plant, centre: new Vector3(...plant.centre), mesh, material, light, levels, firstCard };
}

/** Leaves as the plant has them, or the bare twigs that carried them. */
function dressPart({ plant, material }: PlantPart, sheets: SheetTextures, inLeaf: boolean): void {
  const sheet = inLeaf ? plant.leafSheet : 'twig';
  const { texture, meanBright } = sheets.of(sheet);
  const u = material.uniforms;
  u.uLeaves!.value = texture;
  u.uMeanBright!.value = meanBright;
  u.uFold!.value = FOLD[sheet];
  u.uEdgeOn!.value = EDGE_ON[sheet] ?? -1;
  /* Shoots of a needle spray part finer than a copy of its size tells. */
  u.uSharp!.value = sheet === 'needle' ? 0.8 : 0;
  u.uHue!.value = sheet === 'twig' || sheet === 'needle' ? 0 : 1;
  (u.uReflectance!.value as Vector3).fromArray(inLeaf ? plant.leafReflectanceRgb : TWIG_REFLECTANCE_RGB[plant.bark]);
  (u.uTransmittance!.value as Vector3).fromArray(inLeaf ? plant.leafTransmittanceRgb : [0, 0, 0]);
}
