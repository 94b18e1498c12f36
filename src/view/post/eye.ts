import {
  AddEquation,
  CustomBlending,
  DataUtils,
  OneFactor,
  type ShaderMaterial,
  type WebGLRenderer,
  type WebGLRenderTarget,
} from 'three';
import { saturationLuminance } from '../../exposure/index.ts';
import type { StageOutput } from '../layer.ts';
import { type Glare, GlarePass } from './glare.ts';
import type { Looks } from './looks.ts';
import { halfTarget, ScreenPass, screenMaterial, textureCell } from './pass.ts';
import { gatherFragment, resolveFragment, toneFragment } from './shaders.ts';

/** How a false-colour map is drawn. */
export interface MapSettings {
  /** The range moved by whole bands. */
  shift: number;
  /** The one band in colour. */
  only?: number;
  /** Lines between bands and nothing else. */
  linesOnly?: boolean;
}

export interface LookSettings {
  output: StageOutput;
  ev100: number;
  markClipped: boolean;
  map?: MapSettings;
  /** The look of the picture is that of an eye used to this luminance, cd/m²; else a camera's at `ev100`. */
  adaptedCdM2?: number;
}

export interface EyeSettings extends LookSettings {
  pixelRad: number;
  /** Screen pixels a picture pixel, for lines and hatch of steady width. */
  lineStep: number;
}

/** From the half-float scene to the screen: scatter, exposure, white, tone, or false colour; shifted pictures averaged. */
export class EyePost {
  private readonly pass = new ScreenPass();
  private readonly glare = new GlarePass();
  private readonly tone: ShaderMaterial;
  private scatter: Glare | undefined;
  private looks: Looks | undefined;
  private readonly gather: ShaderMaterial;
  private readonly resolve: ShaderMaterial;
  private toned: WebGLRenderTarget | undefined;
  private mean: WebGLRenderTarget | undefined;

  constructor() {
    const scene = textureCell();
    this.tone = screenMaterial(toneFragment, {
      tScene: scene,
      tGlare: textureCell(),
      uGlareStep: { value: 1 },
      uWhite: { value: 1 },
    });
    this.gather = screenMaterial(gatherFragment, { tFrom: textureCell(), uShare: { value: 1 } });
    this.gather.blending = CustomBlending;
    this.gather.blendEquation = AddEquation;
    this.gather.blendSrc = OneFactor;
    this.gather.blendDst = OneFactor;
    this.gather.transparent = true;
    this.resolve = screenMaterial(resolveFragment, {
      tPicture: textureCell(),
      tScene: scene,
      uSmooth: { value: 1 },
      uWhole: { value: 1 },
      uHatch: { value: 0 },
      uLimit: { value: 1 },
      uBlack: { value: 0 },
      uHatchStep: { value: 1 },
    });
  }

  /** Fetches what these settings need beyond the usual picture; undefined where it is there. */
  fetchFor({ output, adaptedCdM2 }: LookSettings): Promise<void> | undefined {
    if (this.looks || (output === 'picture' && adaptedCdM2 === undefined)) return undefined;
    return import('./looks.ts').then(({ Looks }) => {
      this.looks ??= new Looks();
    });
  }

  /**
   * One picture of `of`; the first clears the mean. Returns true once the mean is on `target` (null = canvas). A lone
   * picture is smoothed along edges instead.
   */
  draw(
    renderer: WebGLRenderer,
    scene: WebGLRenderTarget,
    settings: EyeSettings,
    k: number,
    of: number,
    target: WebGLRenderTarget | null,
  ): void {
    this.resize(scene.width, scene.height);
    const limit = saturationLuminance(settings.ev100);
    const seen = settings.output === 'picture' ? this.looks?.white(settings) : undefined;
    if (settings.output === 'picture') this.drawTone(renderer, scene, settings, k, limit, seen ?? limit);
    else if (this.looks) {
      const map = this.looks.map(scene.texture, settings.output, settings.map ?? { shift: 0 }, settings.lineStep);
      this.pass.draw(renderer, map, this.toned!);
    }
    if (of > 1) this.gatherOne(renderer, k, of);
    const u = this.resolve.uniforms;
    u.tPicture!.value = of > 1 ? this.mean!.texture : this.toned!.texture;
    u.uSmooth!.value = of > 1 ? 0 : 1;
    u.uWhole!.value = settings.lineStep === 1 ? 1 : 0;
    u.uHatch!.value = settings.markClipped && settings.output === 'picture' ? 1 : 0;
    u.uLimit!.value = limit;
    // What the camera shows black stays marked while the eye looks; 1.5 steps of 255 lie on the straight part of sRGB.
    u.uBlack!.value = seen ? (limit * 1.5) / 255 / 12.92 : 0;
    u.uHatchStep!.value = settings.lineStep;
    if (k === of - 1) this.pass.draw(renderer, this.resolve, target);
  }

  /** Sends the programs of the usual picture off to be linked, so that the first frame need not wait for them. */
  prepare(renderer: WebGLRenderer): void {
    for (const material of [...this.glare.materials, this.tone, this.resolve]) this.pass.compile(renderer, material);
  }

  /** Share of pixels above the clipping limit in the last picture; undefined in false colour. */
  clippedShare(renderer: WebGLRenderer): Promise<number | undefined> {
    const small = this.glare.clippedMeans();
    if (!small || !this.toned) return Promise.resolve(undefined);
    const { width, height } = small.target;
    const columns = this.toned.width / small.pixels;
    const rows = this.toned.height / small.pixels;
    const half = new Uint16Array(width * height * 4);
    return renderer
      .readRenderTargetPixelsAsync(small.target, 0, 0, width, height, half)
      .then(() => meanAlpha(half, width, columns, rows));
  }

  dispose(): void {
    this.pass.dispose();
    this.glare.dispose();
    this.toned?.dispose();
    this.mean?.dispose();
    this.looks?.dispose();
    for (const material of [this.tone, this.gather, this.resolve]) material.dispose();
  }

  private drawTone(
    renderer: WebGLRenderer,
    scene: WebGLRenderTarget,
    { adaptedCdM2, pixelRad }: EyeSettings,
    k: number,
    limit: number,
    white: number,
  ): void {
    const u = this.tone.uniforms;
    // Shifts of part of a pixel do not change the scatter: once a picture is enough.
    if (k === 0 || !this.scatter) this.scatter = this.glare.draw(renderer, this.pass, scene, white, limit, pixelRad);
    u.tGlare!.value = this.scatter.texture;
    u.uGlareStep!.value = this.scatter.step;
    u.tScene!.value = scene.texture;
    u.uWhite!.value = white;
    const eye = adaptedCdM2 && this.looks?.eye(scene.texture, this.scatter, white, adaptedCdM2);
    this.pass.draw(renderer, eye || this.tone, this.toned!);
  }

  private gatherOne(renderer: WebGLRenderer, k: number, of: number): void {
    if (k === 0) {
      renderer.setRenderTarget(this.mean!);
      renderer.setClearColor(0, 0);
      renderer.clear(true, false, false);
    }
    this.gather.uniforms.tFrom!.value = this.toned!.texture;
    this.gather.uniforms.uShare!.value = 1 / of;
    this.pass.draw(renderer, this.gather, this.mean!);
  }

  private resize(width: number, height: number): void {
    if (this.toned?.width === width && this.toned.height === height) return;
    this.toned?.dispose();
    this.mean?.dispose();
    this.toned = halfTarget(width, height);
    this.mean = halfTarget(width, height);
  }
}

/** Mean alpha of half-float pixels; the last column and row count by the part of them inside the picture. */
function meanAlpha(half: Uint16Array, width: number, columns: number, rows: number): number {
  let sum = 0;
  for (let i = 0; i < half.length / 4; i++) {
    const share = Math.min(1, columns - (i % width)) * Math.min(1, rows - Math.floor(i / width));
    sum += share * DataUtils.fromHalfFloat(half[4 * i + 3]!);
  }
  return sum / (columns * rows);
}
