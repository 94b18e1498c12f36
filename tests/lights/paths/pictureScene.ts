import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { top } from '../../../src/cli/checkout.mjs';
import { cctToLinearRgb, skyCoefficients, skyFromCoefficients } from '../../../src/exposure/index.ts';
import { createLightModel, type Source } from '../../../src/lights/index.ts';
import { resolvePoweredSources } from '../../../src/power/index.ts';
import { judgingNight } from '../../../src/review/index.ts';
import { buildScene, type PropertyDocument, parseProperty, type SceneModel, type Vec3 } from '../../../src/scene/index.ts';
import { frustumOf } from '../../../src/view/camera.ts';
import type { Lamp } from './lamps.ts';
import { PictureTracer } from './picture.ts';
import type { LeafColour } from './leaves.ts';

/** A viewpoint of a demo property as it stood when its reference was made; scheme `good`, judging night (sun −12°, no moon). */
export interface PictureView {
  property: string;
  view: string;
}

export const PICTURE_VIEWS: readonly PictureView[] = [
  { property: 'small-bungalow', view: 'street' },
  { property: 'row-house-courtyard', view: 'kitchen' },
];

/** Rays of the eye a pixel, side by side and one over the other; the same ones in both pictures. */
const RAYS = 2;
const LENS_PLACES = 24;

export const referenceFolder = join(top, 'tests/reference/pictures');

export interface Setting {
  document: PropertyDocument;
  scene: SceneModel;
  sources: Source[];
  eye: Vec3;
  widthPx: number;
  heightPx: number;
  /** Directions of one pixel, row 0 on top. */
  raysOf(x: number, y: number): Vec3[];
}

export function settingOf({ property, view }: PictureView, widthPx: number, heightPx: number): Setting {
  const parsed = parseProperty(readFileSync(join(referenceFolder, `${property}.property.json`), 'utf8'));
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.errors));
  const { document } = parsed;
  const pose = document.viewpoints.find((v) => v.id === view)!;
  const { left, right, bottom, top: up, forward: f } = frustumOf(pose, widthPx / heightPx);
  const level = Math.hypot(f[0], f[2]);
  const side: Vec3 = [-f[2] / level, 0, f[0] / level];
  const above: Vec3 = [side[1] * f[2] - side[2] * f[1], side[2] * f[0] - side[0] * f[2], side[0] * f[1] - side[1] * f[0]];
  const ray = (x: number, y: number): Vec3 => {
    const a = left + ((right - left) * x) / widthPx;
    const b = up + ((bottom - up) * y) / heightPx;
    const d = f.map((v, k) => v + a * side[k]! + b * above[k]!);
    const size = Math.hypot(...d);
    return [d[0]! / size, d[1]! / size, d[2]! / size];
  };
  return {
    document,
    scene: buildScene(document),
    sources: resolvePoweredSources(document, 'good', { after: true, dirt: 'asShown' }),
    eye: pose.eye,
    widthPx,
    heightPx,
    raysOf: (x, y) =>
      Array.from({ length: RAYS * RAYS }, (_, i) => ray(x + ((i % RAYS) + 0.5) / RAYS, y + (Math.floor(i / RAYS) + 0.5) / RAYS)),
  };
}

/** The field's picture: what `luminanceAlong` says, which findings and read-outs read too, cd/m². */
export function ourPicture({ document, scene, sources, eye, widthPx, heightPx, raysOf }: Setting): Float32Array {
  const model = createLightModel(scene, { surroundings: document.site.surroundings });
  model.setSources(sources, judgingNight(document));
  model.solveAll();
  return Float32Array.from({ length: widthPx * heightPx }, (_, i) => {
    const rays = raysOf(i % widthPx, Math.floor(i / widthPx));
    return rays.reduce((sum, ray) => sum + model.luminanceAlong(eye, ray).luminanceCdM2, 0) / rays.length;
  });
}

/** Share of every pixel that is leaves, by the path tracer. */
export function leafPicture(setting: Setting): Float32Array {
  const { eye, widthPx, heightPx, raysOf } = setting;
  const tracer = pictureTracer(setting);
  return Float32Array.from({ length: widthPx * heightPx }, (_, i) => {
    const rays = raysOf(i % widthPx, Math.floor(i / widthPx));
    return rays.reduce((sum, ray) => sum + tracer.leafShare(eye, ray), 0) / rays.length;
  });
}

/** The lamps' figures are those of the sources (flux × weight); how they shine is worked out by lamps.ts. */
export function pictureTracer({ document, scene, sources }: Setting): PictureTracer {
  const coefficients = skyCoefficients(judgingNight(document), document.site.surroundings);
  const dark: LeafColour = { reflects: [0, 0, 0], passes: [0, 0, 0] };
  const lit = sources.filter((s) => s.weight > 0);
  const [cctK] = lit.map((s) => s.lamp.cctK);
  const empty = new PictureTracer(scene, [], dark);
  const lamps = lit.map((source): Lamp => lampOf(source, cctK!, empty));
  return new PictureTracer(scene, lamps, dark, {
    sky: (d) => [...skyFromCoefficients(coefficients, ...d)] as [number, number, number],
    panes: scene.panes
      .filter((p) => p.litCdM2 > 0)
      .map((p) => ({ ...p, rgbCdM2: cctToLinearRgb(p.litCctK).map((c) => c * p.litCdM2) as unknown as Vec3 })),
    lampRgb: [...cctToLinearRgb(cctK!)] as [number, number, number],
  });
}

function lampOf({ fixture, lamp, weight, id }: Source, cctK: number, tracer: PictureTracer): Lamp {
  const { distribution: beam, lensRadiusM } = lamp;
  const { shield, lens } = fixture;
  const axial = shield.kind === 'none' || shield.kind === 'shroud' || shield.kind === 'louvre';
  if (beam.kind !== 'model' || lens.kind !== 'clear' || !axial || lamp.emitter || lamp.cctK !== cctK) {
    throw new Error(`light ${id}: the path tracer knows model lamps of one colour with clear lens, shroud or louvre`);
  }
  const to = fixture.aim.map((v, k) => v - fixture.at[k]!);
  const size = Math.hypot(...to);
  const axis: Vec3 = [to[0]! / size, to[1]! / size, to[2]! / size];
  const at = tracer.lifted(fixture.at, axis);
  return {
    at,
    aim: [at[0] + axis[0], at[1] + axis[1], at[2] + axis[2]],
    fluxLm: beam.fluxLm * weight,
    beamAngleFullDeg: beam.beamAngleFullDeg,
    spillShare: beam.spillShare,
    lensRadiusM,
    places: tracer.openPlaces(at, axis, lensRadiusM, LENS_PLACES),
    ...(shield.kind === 'none' ? {} : { shield: { cutOffDeg: shield.cutOffDeg, passes: shield.kind === 'louvre' ? 0.85 : 1 } }),
  };
}
