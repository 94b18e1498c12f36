import type { ShaderMaterial, Texture } from 'three';
import { eyeWhiteLuminance, luminanceBands, luxBands, shiftBands } from '../../exposure/index.ts';
import type { Glare } from './glare.ts';
import type { EyeSettings, MapSettings } from './eye.ts';
import { bandsFragment, mesopicFragment } from './lookShaders.ts';
import { screenMaterial, textureCell } from './pass.ts';

/** The looks that the first picture does not need: false-colour maps, and the picture as an adapted eye sees it. */
export class Looks {
  private readonly bands: ShaderMaterial;
  private readonly mesopic: ShaderMaterial;

  constructor() {
    this.bands = screenMaterial(bandsFragment, {
      tScene: textureCell(),
      uEdges: { value: [...luxBands.edges] },
      uDashed: { value: 0 },
      uLineStep: { value: 1 },
      uOnly: { value: -1 },
      uPlain: { value: 0 },
    });
    this.mesopic = screenMaterial(mesopicFragment, {
      tScene: textureCell(),
      tGlare: textureCell(),
      uGlareStep: { value: 1 },
      uWhite: { value: 1 },
      uAdaptation: { value: 1 },
    });
  }

  /** Band colours with the lines between them. */
  map(scene: Texture, output: 'lux' | 'luminance', map: MapSettings, lineStep: number): ShaderMaterial {
    const scale = shiftBands(output === 'lux' ? luxBands : luminanceBands, map.shift);
    const u = this.bands.uniforms;
    u.tScene!.value = scene;
    u.uEdges!.value = [...scale.edges];
    u.uDashed!.value = scale.edgeLine === 'dashed' ? 1 : 0;
    u.uLineStep!.value = lineStep;
    u.uOnly!.value = map.only ?? -1;
    u.uPlain!.value = map.linesOnly ? 1 : 0;
    return this.bands;
  }

  /** Display white of an eye used to a luminance, cd/m². */
  white(settings: EyeSettings): number | undefined {
    return settings.adaptedCdM2 === undefined ? undefined : eyeWhiteLuminance(settings.adaptedCdM2);
  }

  eye(scene: Texture, { texture, step }: Glare, white: number, adaptedCdM2: number): ShaderMaterial {
    const u = this.mesopic.uniforms;
    u.tScene!.value = scene;
    u.tGlare!.value = texture;
    u.uGlareStep!.value = step;
    u.uWhite!.value = white;
    u.uAdaptation!.value = adaptedCdM2;
    return this.mesopic;
  }

  dispose(): void {
    this.bands.dispose();
    this.mesopic.dispose();
  }
}
