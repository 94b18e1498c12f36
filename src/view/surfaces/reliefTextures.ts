import {
  DataArrayTexture,
  FloatType,
  LinearFilter,
  LinearMipmapLinearFilter,
  LinearMipmapNearestFilter,
  RepeatWrapping,
  RGBAFormat,
  type TextureDataType,
  UnsignedByteType,
} from 'three';
import { RELIEF_TEXELS, RESPONSE_TEXELS, type ReliefMaps, RESPONSE_SINES } from '../../materials/index.ts';

const RESPONSE_LAYERS = RESPONSE_SINES.length * 2;
const HORIZON_LAYERS = 2;

/** The three texture arrays of one surface class; one layer (or two, or eight) per relief. */
export class ReliefTextures {
  readonly uniforms: {
    tShape: { value: DataArrayTexture };
    tHorizon: { value: DataArrayTexture };
    tResponse: { value: DataArrayTexture };
  };

  /** @param maps at least one. */
  constructor(maps: readonly ReliefMaps[]) {
    const n = maps.length;
    const shape = new Float32Array(RELIEF_TEXELS ** 2 * 4 * n);
    const horizon = new Uint8Array(RELIEF_TEXELS ** 2 * 4 * HORIZON_LAYERS * n);
    const response = new Uint8Array(RESPONSE_TEXELS ** 2 * 4 * RESPONSE_LAYERS * n);
    maps.forEach((entry, k) => {
      shape.set(entry.shape, entry.shape.length * k);
      horizon.set(entry.horizon, entry.horizon.length * k);
      response.set(entry.response, entry.response.length * k);
    });
    // Float data in 16-bit storage: linear filtering and mips on every device; 8 bits would step by 0.4°.
    const tShape = arrayTexture(shape, RELIEF_TEXELS, n, FloatType);
    tShape.internalFormat = 'RGBA16F';
    // Walls and floors seen at a slant keep their joints.
    tShape.anisotropy = 4;
    const tHorizon = arrayTexture(horizon, RELIEF_TEXELS, n * HORIZON_LAYERS, UnsignedByteType);
    const tResponse = arrayTexture(response, RESPONSE_TEXELS, n * RESPONSE_LAYERS, UnsignedByteType);
    // Two to eight reads a pixel, smooth from level to level: the nearest level does, at half the price.
    tHorizon.minFilter = LinearMipmapNearestFilter;
    tResponse.minFilter = LinearMipmapNearestFilter;
    this.uniforms = { tShape: { value: tShape }, tHorizon: { value: tHorizon }, tResponse: { value: tResponse } };
  }

  dispose(): void {
    this.uniforms.tShape.value.dispose();
    this.uniforms.tHorizon.value.dispose();
    this.uniforms.tResponse.value.dispose();
  }
}

function arrayTexture(
  data: Float32Array<ArrayBuffer> | Uint8Array<ArrayBuffer>,
  side: number,
  layers: number,
  type: TextureDataType,
): DataArrayTexture {
  const texture = new DataArrayTexture(data, side, side, layers);
  texture.format = RGBAFormat;
  texture.type = type;
  texture.wrapS = RepeatWrapping;
  texture.wrapT = RepeatWrapping;
  texture.magFilter = LinearFilter;
  texture.minFilter = LinearMipmapLinearFilter;
  texture.generateMipmaps = true;
  texture.needsUpdate = true;
  return texture;
}
