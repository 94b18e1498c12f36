import { DataTexture, LinearFilter, LinearMipmapNearestFilter, RepeatWrapping, RGBAFormat, UnsignedByteType } from 'three';
import { variationField } from '../../materials/index.ts';

/** Slow repeating variation, mean one half: R broad, G finer; one fetch in every program. */
export function variationTexture(): DataTexture {
  const side = 256;
  const texture = new DataTexture(variationField(side), side, side, RGBAFormat, UnsignedByteType);
  texture.wrapS = RepeatWrapping;
  texture.wrapT = RepeatWrapping;
  texture.magFilter = LinearFilter;
  texture.minFilter = LinearMipmapNearestFilter;
  texture.generateMipmaps = true;
  texture.needsUpdate = true;
  return texture;
}
