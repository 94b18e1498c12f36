import { DataTexture, FloatType, NearestFilter, RGBAFormat } from 'three';
import { cctToLinearRgb, luminanceOf } from '../../exposure/index.ts';
import {
  type Bond,
  findMaterial,
  type MaterialSheet,
  type ReliefMaps,
  type SurfaceClass,
  type unitAndJoint,
} from '../../materials/index.ts';
import type { Face, SceneModel } from '../../scene/index.ts';

/** Texels of one row of the look table. */
export const LOOK_TEXELS = 6;

const BOND_CODES: Record<Bond, number> = { none: 0, running: 1, flemish: 2, stack: 3, english: 4, boards: 5 };

interface Look {
  rgb: readonly [number, number, number];
  sheet: MaterialSheet | undefined;
  surfaceClass: SurfaceClass;
  emissionRgb: readonly [number, number, number];
}

/**
 * The look of every material in use, one row of a float texture each, read once per vertex:
 * 0 unit rgb, relief layer (−1 flat) · 1 joint rgb, ratio limit · 2 repeat and pitch, metres · 3 bond, unit spread,
 * variation, open gain · 4 own luminance rgb, mean share of units · 5 gain by elevation.
 */
export class LookTable {
  readonly texture: DataTexture;
  private readonly looks: Look[] = [];
  private readonly rowByKey = new Map<string, number>();
  private readonly data: Float32Array;
  private readonly scene: SceneModel;

  constructor(scene: SceneModel) {
    this.scene = scene;
    for (const face of scene.faces) {
      this.rowOf(face, face.material);
      for (const patch of face.patches) this.rowOf(face, patch.material);
    }
    this.data = new Float32Array(Math.max(1, this.looks.length) * LOOK_TEXELS * 4);
    this.texture = new DataTexture(this.data, LOOK_TEXELS, Math.max(1, this.looks.length), RGBAFormat, FloatType);
    this.texture.minFilter = NearestFilter;
    this.texture.magFilter = NearestFilter;
    for (let row = 0; row < this.looks.length; row++) this.writeFlat(row);
    this.texture.needsUpdate = true;
  }

  /** Row of a material on a face (faces with a luminance of their own have rows of their own). */
  rowOf(face: Face, material: number): number {
    const key = face.luminanceCdM2 > 0 ? `${material}/${face.luminanceCdM2}/${face.emissionCctK}` : `${material}`;
    const known = this.rowByKey.get(key);
    if (known !== undefined) return known;
    const entry = this.scene.materials[material];
    const sheet = entry === undefined ? undefined : findMaterial(entry.id);
    this.looks.push({
      rgb: entry?.reflectanceRgb ?? [0.2, 0.2, 0.2],
      sheet,
      surfaceClass: sheet?.surfaceClass ?? 'smooth',
      emissionRgb: face.luminanceCdM2 > 0 ? scaledTo(cctToLinearRgb(face.emissionCctK), face.luminanceCdM2) : [0, 0, 0],
    });
    this.rowByKey.set(key, this.looks.length - 1);
    return this.looks.length - 1;
  }

  classOfRow(row: number): SurfaceClass {
    return this.looks[row]?.surfaceClass ?? 'smooth';
  }

  /** Relief names in use by class, in the order of their layers. */
  reliefsOfClass(surfaceClass: SurfaceClass): string[] {
    const names = new Set<string>();
    for (const look of this.looks) {
      if (look.surfaceClass === surfaceClass && look.sheet?.relief) names.add(look.sheet.relief);
    }
    return [...names];
  }

  /** Relief arrived: rows that use it get its layer, colours and gains. */
  setRelief(surfaceClass: SurfaceClass, maps: ReliefMaps, layer: number, colours: typeof unitAndJoint): void {
    this.looks.forEach((look, row) => {
      const { laying } = maps;
      if (!look.sheet || look.surfaceClass !== surfaceClass || look.sheet.relief !== laying.name) return;
      const { unit, joint, spread } = colours(look.sheet, maps.meanUnitShare);
      const bond = BOND_CODES[laying.bond];
      this.write(row, [
        ...[...unit, layer],
        ...[...joint, laying.ratioLimit],
        ...[laying.widthM, laying.heightM, laying.pitchSM, laying.pitchTM],
        ...[bond, laying.unitSpread * spread, variationOf(look.sheet), maps.openGain],
        ...[...look.emissionRgb, maps.meanUnitShare],
        ...maps.gain,
      ]);
    });
    this.texture.needsUpdate = true;
  }

  dispose(): void {
    this.texture.dispose();
  }

  private writeFlat(row: number): void {
    const look = this.looks[row]!;
    const variation = variationOf(look.sheet);
    this.write(row, [...look.rgb, -1, ...look.rgb, 1, 1, 1, 1, 1, 0, 0, variation, 1, ...look.emissionRgb, 1, 1, 1, 1, 1]);
  }

  private write(row: number, numbers: number[]): void {
    this.data.set(numbers, row * LOOK_TEXELS * 4);
  }
}

/** Patina of what has no relief, ± share; by eye. */
const WEATHERED: Record<string, number> = {
  terracotta: 0.16,
  timberBrown: 0.12,
  leadGrey: 0.25,
  steelGalvanised: 0.18,
  brassAged: 0.15,
  copperAged: 0.25,
  steelRusted: 0.4,
};

/** Slow variation of brightness over metres, ± share. Textbook materials have none. */
function variationOf(sheet: MaterialSheet | undefined): number {
  if (!sheet) return 0;
  const { surfaceClass } = sheet;
  if (surfaceClass === 'ground') return sheet.id === 'lawn' ? 0.4 : 0.5;
  if (surfaceClass === 'masonry' || surfaceClass === 'roof') return 0.22;
  return WEATHERED[sheet.id] ?? 0.04;
}

function scaledTo(rgb: readonly [number, number, number], luminance: number): readonly [number, number, number] {
  const k = luminance / Math.max(1e-9, luminanceOf(rgb));
  return [rgb[0] * k, rgb[1] * k, rgb[2] * k];
}
