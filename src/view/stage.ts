import { type PerspectiveCamera, Scene, Vector2, Vector3, type WebGLRenderer, WebGLRenderTarget } from 'three';
import type { Surroundings } from '../exposure/index.ts';
import type { Conditions } from '../lights/index.ts';
import type { CameraPose, SceneModel, Vec3 } from '../scene/index.ts';
import type { FieldUpdate } from '../worker/index.ts';
import { createCamera, frustumOf, placeCamera } from './camera.ts';
import { FieldTextures } from './field/fieldTextures.ts';
import type { StageLayer, StageLayerFactory, StageUniforms } from './layer.ts';
import { createLensLayer, type LensLayer } from './lenses/createLenses.ts';
import { createPanesLayer, type PanesLayer } from './panes/index.ts';
import { createCardsLayer, createStrandsLayer, paintLeaves } from './plants/index.ts';
import { EyePost, type LookSettings } from './post/eye.ts';
import { halfTarget } from './post/pass.ts';
import { createSkyLayer } from './sky/index.ts';
import { SurfaceLayer } from './surfaces/createSurfaces.ts';
import type { Survey } from './survey.ts';
import type { NightPictureProps } from './types.ts';
import type { WaterLayer } from './water/index.ts';

/** Shifts of the pictures that are averaged once nothing moves, parts of a pixel (rotated grid). */
const SHIFTS: readonly (readonly [number, number])[] = [
  [-0.125, -0.375],
  [0.375, -0.125],
  [0.125, 0.375],
  [-0.375, 0.125],
];
/** Scales of the picture while it moves, full first. */
const MOVING_SCALES = [1, 0.67, 0.5] as const;
const SLOW_FRAME_MS = 70;
const QUICK_FRAME_MS = 28;

interface Layers {
  scene: SceneModel;
  all: StageLayer[];
  sky: ReturnType<typeof createSkyLayer>;
  lenses: LensLayer;
  panes: PanesLayer;
  surfaces: SurfaceLayer;
  /** Mirror images, loaded where there is water or wet paving. */
  water?: WaterLayer;
  /** What they were last told. */
  dressed: { lights?: NightPictureProps['lights']; surroundings?: Surroundings; conditions?: Conditions | undefined };
}

/**
 * Owns the three.js side of the picture: scene graph, field textures, targets and post. Knows nothing of React; draws when
 * told to. A new property is shown only with its first light, so that the old picture stays until then.
 */
export class Stage {
  readonly camera = createCamera();
  readonly uniforms: StageUniforms = {
    uOutput: { value: 0 },
    uPlain: { value: 0 },
    uPixelRad: { value: 0.001 },
    uTargetPx: { value: new Vector2() },
  };
  private readonly renderer: WebGLRenderer;
  private readonly requestDraw: () => void;
  /** True once the reliefs and rooms of the property are worked out. */
  reliefsReady = false;
  private readonly graph = new Scene();
  private readonly field = new FieldTextures();
  private readonly eye = new EyePost();
  private target: WebGLRenderTarget = halfTarget(1, 1, true);
  private layers: Layers | undefined;
  private pendingScene: SceneModel | undefined;
  private prepared: Layers | undefined;
  private finishing = false;
  private waterFor: Layers | undefined;
  private pose: CameraPose = { eye: [0, 1.6, 18], lookAt: [0, 2.5, 0], fieldDeg: 55 };
  private settings: LookSettings = { ev100: 3, output: 'picture', markClipped: false };
  private wanted = this.settings;
  private fetching: Promise<void> | undefined;
  private conditions: Conditions | undefined;
  private surroundings: Surroundings = 'suburb';
  private lights: NightPictureProps['lights'] = [];
  private widthPx = 1;
  private heightPx = 1;
  private movingScale = 0;
  private refined = 0;
  private lastMoveMs = 0;

  constructor(renderer: WebGLRenderer, requestDraw: () => void) {
    this.renderer = renderer;
    this.requestDraw = requestDraw;
    renderer.autoClear = false;
    this.graph.matrixWorldAutoUpdate = true;
    setTimeout(paintLeaves, 0);
  }

  /** Before the first picture the layers are made and their programs sent off while the light is being worked out. */
  setScene(scene: SceneModel): void {
    this.pendingScene = scene;
    if (this.layers) return;
    this.dropPrepared();
    this.prepared = this.build(scene);
    this.dress(this.prepared);
    this.renderer.setRenderTarget(this.target);
    for (const layer of this.prepared.all) this.renderer.compile(layer.object3d, this.camera);
    this.eye.prepare(this.renderer);
  }

  setField(update: FieldUpdate): void {
    if (this.pendingScene && update.tiles) {
      this.mount(this.pendingScene);
      this.pendingScene = undefined;
    }
    this.field.setField(update);
    for (const layer of this.layers?.all ?? []) layer.setField?.(update);
    this.changed();
  }

  setConditions(conditions: Conditions): void {
    this.conditions = conditions;
    if (this.layers) this.dress(this.layers);
    if (conditions.paving === 'wet') void this.loadWater();
    this.changed();
  }

  setSurroundings(surroundings: Surroundings): void {
    this.surroundings = surroundings;
    if (this.layers) this.dress(this.layers);
    this.changed();
  }

  setLights(lights: NightPictureProps['lights']): void {
    this.lights = lights;
    if (this.layers) this.dress(this.layers);
    this.changed();
  }

  /** Maps and the eye's look are fetched when first asked for; until then the picture stays as it was. */
  setSettings(settings: LookSettings): void {
    this.wanted = settings;
    const take = (): void => {
      if (this.wanted !== settings) return;
      this.settings = settings;
      this.changed();
    };
    const fetching = this.eye.fetchFor(settings);
    this.fetching = fetching?.then(take);
    if (!fetching) take();
  }

  get look(): LookSettings {
    return this.settings;
  }

  setPose(pose: CameraPose): void {
    this.pose = pose;
    this.changed();
  }

  /** Size of the canvas in its own pixels. */
  resize(widthPx: number, heightPx: number): void {
    this.widthPx = Math.max(1, Math.round(widthPx));
    this.heightPx = Math.max(1, Math.round(heightPx));
    this.changed();
  }

  /** True once the averaged picture of the present state is on the canvas. */
  get isRefined(): boolean {
    return this.refined > SHIFTS.length;
  }

  get hasScene(): boolean {
    return this.layers !== undefined;
  }

  /** What is drawn and from where. */
  get shown(): { graph: Scene; camera: PerspectiveCamera } {
    return { graph: this.graph, camera: this.camera };
  }

  /** First picture after a change: one frame with smoothed edges, smaller while slow machines are moving. */
  drawNow(nowMs: number): void {
    this.drawOnce(this.pickScale(nowMs));
    this.refined = 1;
    this.finishPicture();
  }

  /** A whole frame at full scale, whatever went before. */
  drawWhole(): void {
    this.drawOnce(1);
  }

  private drawOnce(scale: number): void {
    this.drawScene(Math.round(this.widthPx * scale), Math.round(this.heightPx * scale), [0, 0]);
    this.eye.draw(this.renderer, this.target, this.eyeSettings(scale), 0, 1, null);
  }

  /** One of the shifted pictures; the last brings their mean to the canvas. Returns false when nothing is left to do. */
  refineStep(): boolean {
    if (this.isRefined || this.refined === 0) return false;
    const k = this.refined - 1;
    if (k === 0) this.drawGlass();
    this.drawScene(this.widthPx, this.heightPx, SHIFTS[k]!);
    this.eye.draw(this.renderer, this.target, this.eyeSettings(1), k, SHIFTS.length, null);
    this.refined += 1;
    return !this.isRefined;
  }

  clippedShare(): Promise<number | undefined> {
    return this.settings.output === 'picture' ? this.eye.clippedShare(this.renderer) : Promise.resolve(undefined);
  }

  /** The averaged picture at a size of its own, RGBA rows from the top. */
  async pixels(width: number, height: number): Promise<Uint8ClampedArray<ArrayBuffer>> {
    await this.fetching;
    this.drawGlass();
    const out = new WebGLRenderTarget(width, height, { depthBuffer: false });
    SHIFTS.forEach((shift, k) => {
      this.drawScene(width, height, shift);
      this.eye.draw(this.renderer, this.target, this.eyeSettings(1), k, SHIFTS.length, out);
    });
    const bytes = new Uint8Array(width * height * 4);
    await this.renderer.readRenderTargetPixelsAsync(out, 0, 0, width, height, bytes);
    out.dispose();
    this.changed();
    const flipped = new Uint8ClampedArray(bytes.length);
    for (let y = 0; y < height; y++)
      flipped.set(bytes.subarray(y * width * 4, (y + 1) * width * 4), (height - 1 - y) * width * 4);
    return flipped;
  }

  /** The field as the picture's camera sees it, drawn `width` samples wide: lux, or cd/m² with the lenses left out. */
  async survey(output: 'lux' | 'luminance', width: number): Promise<Survey> {
    const height = Math.max(1, Math.round((width * this.heightPx) / this.widthPx));
    const { target, settings, layers } = this;
    const small = halfTarget(width, height, true);
    this.target = small;
    this.settings = { ...settings, output };
    if (layers) layers.lenses.object3d.visible = false;
    this.drawScene(width, height, [0, 0]);
    if (layers) layers.lenses.object3d.visible = true;
    this.settings = settings;
    this.target = target;
    const half = new Uint16Array(width * height * 4);
    await this.renderer.readRenderTargetPixelsAsync(small, 0, 0, width, height, half);
    small.dispose();
    const { surveyed } = await import('./survey.ts');
    return { width, height, values: surveyed(half, width, height) };
  }

  /** World point → share of the picture from its top left. */
  project(point: Vec3): { x: number; y: number; inFront: boolean } {
    placeCamera(this.camera, this.pose, this.widthPx, this.heightPx);
    const inView = new Vector3(...point).applyMatrix4(this.camera.matrixWorldInverse);
    const inFront = inView.z < -1e-6;
    const p = inView.applyMatrix4(this.camera.projectionMatrix);
    return { x: (p.x + 1) / 2, y: (1 - p.y) / 2, inFront };
  }

  /** Share of the picture from its top left → world ray. */
  ray(x: number, y: number): { from: Vec3; direction: Vec3 } {
    placeCamera(this.camera, this.pose, this.widthPx, this.heightPx);
    const f = frustumOf(this.pose, this.widthPx / this.heightPx);
    const d = new Vector3(f.left + x * (f.right - f.left), f.top + y * (f.bottom - f.top), -1);
    d.transformDirection(this.camera.matrixWorld);
    return { from: this.pose.eye, direction: [d.x, d.y, d.z] };
  }

  restore(): void {
    this.field.restore();
    for (const layer of this.layers?.all ?? []) layer.restore?.();
    this.changed();
  }

  dispose(): void {
    this.unmount();
    this.dropPrepared();
    this.field.dispose();
    this.eye.dispose();
    this.target.dispose();
  }

  private changed(): void {
    this.refined = 0;
    this.requestDraw();
  }

  private eyeSettings(scale: number): Parameters<EyePost['draw']>[2] {
    return { ...this.settings, pixelRad: this.uniforms.uPixelRad.value, lineStep: scale };
  }

  private pickScale(nowMs: number): number {
    const gap = nowMs - this.lastMoveMs;
    this.lastMoveMs = nowMs;
    if (gap > 400) this.movingScale = Math.max(0, this.movingScale - 1);
    else if (gap > SLOW_FRAME_MS) this.movingScale = Math.min(MOVING_SCALES.length - 1, this.movingScale + 1);
    else if (gap < QUICK_FRAME_MS) this.movingScale = Math.max(0, this.movingScale - 1);
    return MOVING_SCALES[this.movingScale]!;
  }

  private drawScene(width: number, height: number, shift: readonly [number, number]): void {
    if (this.target.width !== width || this.target.height !== height) {
      this.target.dispose();
      this.target = halfTarget(width, height, true);
    }
    placeCamera(this.camera, this.pose, width, height, shift);
    const f = frustumOf(this.pose, width / height);
    this.uniforms.uPixelRad.value = (f.right - f.left) / width;
    this.uniforms.uTargetPx.value.set(width, height);
    this.uniforms.uOutput.value = this.settings.output === 'lux' ? 1 : 0;
    this.uniforms.uPlain.value = this.settings.output === 'luminance' ? 1 : 0;
    this.field.upload(this.renderer);
    this.drawMirrors(width, height, shift);
    for (const layer of this.layers?.all ?? []) layer.beforeDraw?.(this.camera);
    this.renderer.setRenderTarget(this.target);
    this.renderer.setClearColor(0, 0);
    this.renderer.clear(true, true, false);
    this.renderer.render(this.graph, this.camera);
  }

  /** Mirror images in window glass: once the light stands still, whatever the eye does after. */
  private drawGlass(): void {
    const { layers, renderer, graph, pose } = this;
    const { uPixelRad: pixelRad, uTargetPx: targetPx } = this.uniforms;
    if (this.reliefsReady) layers?.panes.drawMirrors({ renderer, graph, layers: layers.all, pixelRad, targetPx }, pose.eye);
  }

  private drawMirrors(widthPx: number, heightPx: number, shiftPx: readonly [number, number]): void {
    const { layers, renderer, graph, pose } = this;
    layers?.water?.drawMirrors({ renderer, graph, pose, widthPx, heightPx, shiftPx, layers: layers.all });
  }

  /** Fetches the mirror images of the property now shown, once. */
  private async loadWater(): Promise<void> {
    const { layers } = this;
    if (!layers || this.waterFor === layers) return;
    this.waterFor = layers;
    const { createWaterLayer } = await import('./water/index.ts');
    if (this.layers !== layers) return;
    const context = { scene: layers.scene, uniforms: this.uniforms, requestDraw: () => this.changed() };
    layers.water = createWaterLayer(context, { surroundings: this.surroundings });
    layers.all.push(layers.water);
    this.graph.add(layers.water.object3d);
    if (this.conditions) layers.water.setConditions?.(this.conditions);
    this.changed();
  }

  private build(scene: SceneModel): Layers {
    const context: Parameters<StageLayerFactory>[0] = { scene, uniforms: this.uniforms, requestDraw: () => this.changed() };
    const sky = createSkyLayer(context, { surroundings: this.surroundings });
    const lenses = createLensLayer({ ...context, field: this.field });
    const panes = createPanesLayer(context, { surroundings: this.surroundings });
    const surfaces = new SurfaceLayer({ ...context, field: this.field });
    const all: StageLayer[] = [sky, surfaces, createStrandsLayer(context), panes, createCardsLayer(context), lenses];
    return { scene, all, sky, lenses, panes, surfaces, dressed: {} };
  }

  private mount(scene: SceneModel): void {
    this.unmount();
    this.layers = this.prepared?.scene === scene ? this.prepared : this.build(scene);
    if (this.layers === this.prepared) this.prepared = undefined;
    this.dropPrepared();
    this.reliefsReady = false;
    this.finishing = false;
    for (const layer of this.layers.all) this.graph.add(layer.object3d);
    this.dress(this.layers);
    if (this.conditions?.paving === 'wet') void this.loadWater();
  }

  /** Lamps, surroundings and the hour as they are asked for, where layers do not have them yet. */
  private dress(layers: Layers): void {
    const { lights, surroundings, conditions } = this;
    if (layers.dressed.lights !== lights) layers.lenses.setLights(lights);
    if (layers.dressed.surroundings !== surroundings)
      for (const layer of [layers.sky, layers.lenses, layers.panes, layers.water]) layer?.setSurroundings(surroundings);
    if (conditions && layers.dressed.conditions !== conditions) for (const layer of layers.all) layer.setConditions?.(conditions);
    layers.dressed = { lights, surroundings, conditions };
  }

  /** Reliefs and rooms follow the first picture: before it they would take the processor from the solver. */
  private finishPicture(): void {
    const { layers } = this;
    if (!layers || this.finishing) return;
    this.finishing = true;
    const wanted = layers.scene.faces.some((face) => face.kind === 'water') || this.conditions?.paving === 'wet';
    const water = wanted ? this.loadWater() : undefined;
    Promise.all([water, layers.panes.furnish(), layers.panes.fetchMirrors(), layers.surfaces.fetchReliefs()]).then(() => {
      if (this.layers !== layers) return;
      this.reliefsReady = true;
      this.changed();
    });
  }

  private dropPrepared(): void {
    for (const layer of this.prepared?.all ?? []) layer.dispose();
    this.prepared = undefined;
  }

  private unmount(): void {
    for (const layer of this.layers?.all ?? []) {
      this.graph.remove(layer.object3d);
      layer.dispose();
    }
    this.layers = undefined;
  }
}
