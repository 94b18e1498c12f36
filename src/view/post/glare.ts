import { type ShaderMaterial, type Texture, Vector2, type WebGLRenderer, type WebGLRenderTarget } from 'three';
import { GLARE_COARSER, GLARE_REACH, type GlareLevel, gaussianTaps, glareLevels } from './glarePyramid.ts';
import { halfTarget, type ScreenPass, screenMaterial, textureCell } from './pass.ts';
import { blurFragment, excessFragment, shrinkFragment } from './shaders.ts';

interface Level {
  power: number;
  shrunk: WebGLRenderTarget;
  across: WebGLRenderTarget;
  summed: WebGLRenderTarget;
}

/** A picture of scattered light and its pixels a picture pixel. */
export interface Glare {
  texture: Texture;
  step: number;
}

/** The eye's scatter over the picture: a pyramid of what exceeds display white, blurred by octaves and summed upward. */
export class GlarePass {
  private levels: Level[] = [];
  private size = '';
  private readonly excess: ShaderMaterial;
  private readonly shrink: ShaderMaterial;
  private readonly blur: ShaderMaterial;

  constructor() {
    this.excess = screenMaterial(excessFragment, { tScene: textureCell(), uWhite: { value: 1 }, uLimit: { value: 1 } });
    this.shrink = screenMaterial(shrinkFragment, { tFrom: textureCell() });
    this.blur = screenMaterial(blurFragment, {
      tFrom: textureCell(),
      tWider: textureCell(),
      uStep: { value: new Vector2() },
      uTaps: { value: new Float32Array(GLARE_REACH + 1) },
      uReach: { value: 0 },
      uAdd: { value: 0 },
      tLevel: textureCell(),
      tCoarse: textureCell(),
      uCoarser: { value: 0 },
      uPlain: { value: 0 },
    });
  }

  get materials(): ShaderMaterial[] {
    return [this.excess, this.shrink, this.blur];
  }

  /** Scattered light in units of display white, to be grown with linear filtering. `limit`: what counts as clipped. */
  draw(
    renderer: WebGLRenderer,
    pass: ScreenPass,
    scene: WebGLRenderTarget,
    white: number,
    limit: number,
    pixelRad: number,
  ): Glare {
    const octaves = glareLevels(pixelRad);
    this.resize(scene.width, scene.height, octaves[octaves.length - 1]!.power);
    this.excess.uniforms.tScene!.value = scene.texture;
    this.excess.uniforms.uWhite!.value = white;
    this.excess.uniforms.uLimit!.value = limit;
    pass.draw(renderer, this.excess, this.levels[0]!.shrunk);
    for (let i = 1; i < this.levels.length; i++) {
      this.shrink.uniforms.tFrom!.value = this.levels[i - 1]!.shrunk.texture;
      pass.draw(renderer, this.shrink, this.levels[i]!.shrunk);
    }
    let wider: Texture | undefined;
    for (const octave of [...octaves].reverse()) wider = this.blurLevel(renderer, pass, octave, wider);
    return { texture: wider!, step: 1 / 2 ** octaves[0]!.power };
  }

  /** A small picture whose alpha is the clipped share of `pixels` × `pixels` picture pixels each. */
  clippedMeans(): { target: WebGLRenderTarget; pixels: number } | undefined {
    const level = this.levels[Math.min(4, this.levels.length - 1)];
    return level && { target: level.shrunk, pixels: 2 ** level.power };
  }

  dispose(): void {
    this.free();
    for (const material of this.materials) material.dispose();
  }

  private blurLevel(renderer: WebGLRenderer, pass: ScreenPass, octave: GlareLevel, wider: Texture | undefined): Texture {
    const level = this.levels[octave.power - 1]!;
    const u = this.blur.uniforms;
    this.setTaps(octave.sigmaPx, 1);
    u.tFrom!.value = level.shrunk.texture;
    u.tWider!.value = level.shrunk.texture;
    u.uAdd!.value = 0;
    u.tLevel!.value = level.shrunk.texture;
    u.uPlain!.value = 0;
    const coarse = this.levels[octave.power - 1 + GLARE_COARSER];
    u.tCoarse!.value = (coarse ?? level).shrunk.texture;
    u.uCoarser!.value = coarse ? GLARE_COARSER : 0;
    u.uStep!.value.set(1, 0);
    pass.draw(renderer, this.blur, level.across);
    u.tFrom!.value = level.across.texture;
    this.setTaps(octave.sigmaPx, octave.weight);
    u.uStep!.value.set(0, 1);
    u.uPlain!.value = octave.plain;
    if (wider) {
      u.uAdd!.value = 1;
      u.tWider!.value = wider;
    }
    pass.draw(renderer, this.blur, level.summed);
    return level.summed.texture;
  }

  private setTaps(sigmaPx: number, total: number): void {
    const taps = gaussianTaps(sigmaPx, total);
    (this.blur.uniforms.uTaps!.value as Float32Array).set(taps);
    this.blur.uniforms.uReach!.value = taps.length - 1;
  }

  private resize(width: number, height: number, powers: number): void {
    const size = `${width}x${height}/${powers}`;
    if (size === this.size) return;
    this.free();
    this.size = size;
    for (let power = 1; power <= powers; power++) {
      const w = Math.max(1, Math.ceil(width / 2 ** power));
      const h = Math.max(1, Math.ceil(height / 2 ** power));
      this.levels.push({ power, shrunk: halfTarget(w, h), across: halfTarget(w, h), summed: halfTarget(w, h) });
    }
  }

  private free(): void {
    for (const level of this.levels) for (const target of [level.shrunk, level.across, level.summed]) target.dispose();
    this.levels = [];
    this.size = '';
  }
}
