import type { Vec3 } from '../../../src/scene/index.ts';
import { lambert, type Random } from './lamps.ts';
import { leafNormal } from './leaves.ts';
import { along, type Found, Tracer } from './tracer.ts';

const luminous = (rgb: ArrayLike<number>, from = 0): number =>
  0.2126 * rgb[from]! + 0.7152 * rgb[from + 1]! + 0.0722 * rgb[from + 2]!;

/** Sums over the paths of one pixel: luminance, its square, and the part sent on by bars, posts, trunks and limbs. */
export type PixelSums = [sum: number, squares: number, byStrands: number];

/** Path-traced luminance along rays of the eye: leaves met by chance, surfaces as matt as their sheets say. */
export class PictureTracer extends Tracer {
  /** True where a ray of the eye meets nothing solid. */
  isSky(eye: Vec3, d: Vec3): boolean {
    return !this.nearest(eye, d) && !this.pane(eye, d, 1e4);
  }

  /** Share of what a ray of the eye shows that is leaves. */
  leafShare(eye: Vec3, d: Vec3): number {
    return 1 - Math.exp(-this.depth(eye, d, this.nearest(eye, d)?.t ?? 1e4).depth);
  }

  /** Adds one path along a ray of the eye, cd/m². */
  addPath(eye: Vec3, d: Vec3, random: Random, to: PixelSums): void {
    const found = this.radiance(eye, d, random);
    const L = luminous(found);
    to[0] += L;
    to[1] += L * L;
    to[2] += luminous(found, 3);
  }

  /** Radiance against one direction, RGB cd/m², by one path. */
  private radiance(eye: Vec3, d: Vec3, random: Random): Found {
    const met = this.nearest(eye, d);
    const reach = met ? met.t : 1e4;
    const free = this.depth(eye, d, reach, -Math.log(1 - random()));
    if (free.leaf) {
      const n = leafNormal(d, random);
      const front: Vec3 = n[0] * d[0] + n[1] * d[1] + n[2] * d[2] < 0 ? n : [-n[0], -n[1], -n[2]];
      const back: Vec3 = [-front[0], -front[1], -front[2]];
      const at = along(eye, d, free.at);
      const [E, behind] = [this.all(at, front, random), this.all(at, back, random)];
      const { reflects, passes } = free.leaf;
      return E.map((e, k) => (reflects[k % 3]! * e + passes[k % 3]! * behind[k]!) / Math.PI) as Found;
    }
    const glow = this.pane(eye, d, reach) ?? (met ? undefined : this.beside.sky?.(d));
    if (glow) return [glow[0], glow[1], glow[2], 0, 0, 0];
    const at = along(eye, d, reach);
    const surface = met && this.surface(met.triangle, at, d);
    if (!surface) return [0, 0, 0, 0, 0, 0];
    return this.all(at, surface.normal, random).map((e, k) => (surface.rho[k % 3]! * e) / Math.PI) as Found;
  }

  /** All light on one side of a place, RGB lux, by one path. */
  private all(at: Vec3, n: Vec3, random: Random): Found {
    const { lux } = this.lit(at, n);
    const out = this.path(at, n, random(), random(), random);
    for (let k = 0; k < 3; k++) out[k]! += lux * this.lampRgb[k]!;
    return out;
  }

  /** Places of a lens from which its centre is seen: evenly on a disc square to the axis. */
  openPlaces(at: Vec3, axis: Vec3, radiusM: number, count: number): Vec3[] {
    const out: Vec3[] = [];
    for (let i = 0; i < count; i++) {
      const r = radiusM * Math.sqrt((i + 0.5) / count);
      const turn = i * 2.399963;
      const across = lambert(axis, 1, turn / (2 * Math.PI));
      const place = along(at, across, r);
      if (!this.nearest(at, across, r)) out.push(place);
    }
    return out.length > 0 ? out : [at];
  }

  /** A lens at or just under a surface shines from it: moved along its axis out of what it is sunk in, at most 3 cm. */
  lifted(at: Vec3, axis: Vec3): Vec3 {
    const met = this.nearest(at, axis, 0.03);
    if (!met || this.surface(met.triangle, at, axis)) return at;
    return along(at, axis, met.t + 0.001);
  }
}
