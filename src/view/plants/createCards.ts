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
import { LEAF_SHARE, type PlantModel } from '../../scene/index.ts';
import type { StageLayer, StageLayerFactory } from '../layer.ts';
import { CARD_TEXELS, packCardLight } from './cardLight.ts';
import { cardFragment, cardVertex } from './cardShader.ts';
import { drawLeafAtlas, leafMips, type MipLevel, meanBrightness } from './leafTiles.ts';

const ATLAS_PX = 512;
const LIGHT_WIDTH = 1024;

interface LeafSheet {
  texture: DataTexture;
  meanBright: number;
}

let painted: { levels: MipLevel[]; meanBright: number } | undefined;

/** Paints the leaves, once a page; worth calling while the first light is awaited. */
export function paintLeaves(): { levels: MipLevel[]; meanBright: number } {
  if (!painted) {
    const atlas = drawLeafAtlas(ATLAS_PX, LEAF_SHARE);
    painted = { levels: leafMips(atlas), meanBright: meanBrightness(atlas) };
  }
  return painted;
}

function createLeafSheet(): LeafSheet {
  const { levels, meanBright } = paintLeaves();
  const texture = new DataTexture(levels[0]!.data, ATLAS_PX, ATLAS_PX, RGBAFormat);
  texture.mipmaps = levels;
  texture.minFilter = LinearMipmapLinearFilter;
  texture.magFilter = LinearFilter;
  texture.colorSpace = NoColorSpace;
  texture.generateMipmaps = false;
  texture.needsUpdate = true;
  return { texture, meanBright };
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
function cardGeometry(plant: PlantModel): BufferGeometry {
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
  for (let i = 0; i < count; i++) index.set([4 * i, 4 * i + 1, 4 * i + 2, 4 * i, 4 * i + 2, 4 * i + 3], i * 6);
  const geometry = new BufferGeometry();
  geometry.setAttribute('aCentre', new BufferAttribute(centre, 4));
  geometry.setAttribute('aNormal', new BufferAttribute(normal, 4));
  geometry.setAttribute('aLook', new BufferAttribute(look, 2));
  geometry.setIndex(new BufferAttribute(index, 1));
  geometry.boundingSphere = new Sphere(new Vector3(...plant.centre), plant.radiusM * 1.1);
  return geometry;
}

/** Leaf cards of all plants: one mesh a plant, so that plants out of view are skipped. */
export const createCardsLayer: StageLayerFactory = ({ scene, uniforms }): StageLayer => {
  const group = new Group();
  const sheet = createLeafSheet();
  const samples = { value: false };
  let firstCard = 0;
  const parts = scene.plants
    .filter((plant) => plant.cards.length > 0)
    .map((plant) => {
      const count = plant.cards.length / 8;
      const light = createLightTexture(count);
      const material = new ShaderMaterial({
        vertexShader: cardVertex,
        fragmentShader: cardFragment,
        side: DoubleSide,
        alphaToCoverage: true,
        uniforms: {
          uOutput: uniforms.uOutput,
          uSamples: samples,
          uLeaves: { value: sheet.texture },
          uMeanBright: { value: sheet.meanBright },
          uLight: { value: light.texture },
          uLightWidth: { value: LIGHT_WIDTH },
          uReflectance: { value: new Vector3(...plant.leafReflectanceRgb) },
          uTransmittance: { value: new Vector3(...plant.leafTransmittanceRgb) },
        },
      });
      const mesh = new Mesh(cardGeometry(plant), material);
      mesh.name = `leaves ${plant.id}`;
      mesh.onBeforeRender = (renderer: WebGLRenderer) => {
        samples.value = (renderer.getRenderTarget()?.samples ?? 0) > 0;
      };
      group.add(mesh);
      const part = { plant, mesh, material, light, firstCard };
      firstCard += count;
      return part;
    });
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
      for (const part of parts) part.mesh.visible = conditions.leaves === 'on';
    },
    restore() {
      sheet.texture.needsUpdate = true;
      for (const part of parts) part.light.texture.needsUpdate = true;
    },
    dispose() {
      sheet.texture.dispose();
      for (const part of parts) {
        part.mesh.geometry.dispose();
        part.material.dispose();
        part.light.texture.dispose();
      }
    },
  };
};
