import type { SceneModel, Vec2, Vec3 } from '../../../src/scene/index.ts';
import { candela, dot, type Lamp, lambert, ofBeam, type Random } from './lamps.ts';
import { type Leaf, type LeafColour, leafNormal, leavesOf } from './leaves.ts';
import { meetsBox, type Node, type Triple, treeOf } from './tree.ts';

interface Surface {
  /** A bar, post, trunk or limb. */
  isStrand: boolean;
  rho: readonly number[];
  glow: number;
  normal: Vec3;
}

interface Struck {
  t: number;
  triangle: number;
}

/** What shines beside the lamps, RGB cd/m²: the sky by direction, window panes from their front. Neither where nothing is said. */
export interface Beside {
  sky?: (d: Vec3) => Vec3;
  panes?: readonly { origin: Vec3; u: Vec3; v: Vec3; normal: Vec3; widthM: number; heightM: number; rgbCdM2: Vec3 }[];
  /** Colour of every lamp, luminance 1. */
  lampRgb?: Vec3;
}

/**
 * Brute-force path tracer, the outside judge of the bounces. It shares no code with the solver: own tree, own
 * intersection, own beam formula, own leaves (Beer–Lambert with single leaves that scatter), own dice (Mulberry32).
 * Light of a white unit source throughout; RGB comes from what it meets.
 */
export class Tracer {
  private readonly root: Node | undefined;
  private readonly corner: Float64Array;
  private readonly edge1: Float64Array;
  private readonly edge2: Float64Array;
  private readonly leaves: Leaf[];
  private readonly leafRoot: Node | undefined;
  private readonly strandMaterial = new Map<string, number>();
  readonly where = { taken: 0, escaped: 0 };
  private readonly scene: SceneModel;
  private readonly lamps: readonly Lamp[];

  protected readonly beside: Beside;
  protected readonly lampRgb: Vec3;
  private turn = 0;

  constructor(scene: SceneModel, lamps: readonly Lamp[], crownLeaves: LeafColour, beside: Beside = {}) {
    this.scene = scene;
    this.lamps = lamps;
    this.beside = beside;
    this.lampRgb = beside.lampRgb ?? [1, 1, 1];
    const { count, positionsM } = scene.occluders;
    this.corner = new Float64Array(count * 3);
    this.edge1 = new Float64Array(count * 3);
    this.edge2 = new Float64Array(count * 3);
    const boxes: { low: Triple; high: Triple }[] = [];
    for (let i = 0; i < count; i++) {
      const low: Triple = [0, 0, 0];
      const high: Triple = [0, 0, 0];
      for (let k = 0; k < 3; k++) {
        const [a, b, c] = [positionsM[i * 9 + k]!, positionsM[i * 9 + 3 + k]!, positionsM[i * 9 + 6 + k]!];
        this.corner[i * 3 + k] = a;
        this.edge1[i * 3 + k] = b - a;
        this.edge2[i * 3 + k] = c - a;
        low[k] = Math.min(a, b, c) - 1e-6;
        high[k] = Math.max(a, b, c) + 1e-6;
      }
      boxes.push({ low, high });
    }
    this.root = count > 0 ? treeOf(boxes) : undefined;
    this.leaves = leavesOf(scene, crownLeaves);
    const around = this.leaves.map(({ centre, radii }) => ({
      low: centre.map((c, k) => c - radii[k]!) as Triple,
      high: centre.map((c, k) => c + radii[k]!) as Triple,
    }));
    this.leafRoot = around.length > 0 ? treeOf(around) : undefined;
    for (const strand of scene.strands) this.strandMaterial.set(strand.partId, strand.material);
  }

  /** Nearest triangle along a ray (Möller & Trumbore). */
  nearest(o: Vec3, d: Vec3, most = Infinity): Struck | undefined {
    if (!this.root) return undefined;
    const best: Struck = { t: most, triangle: -1 };
    const inverse: Triple = [1 / d[0], 1 / d[1], 1 / d[2]];
    const open: Node[] = [this.root];
    for (let node = open.pop(); node; node = open.pop()) {
      if (!meetsBox(node, o, inverse, best.t)) continue;
      if (node.left && node.right) open.push(node.left, node.right);
      for (const i of node.items) this.meet(i, o, d, best);
    }
    return best.triangle >= 0 ? best : undefined;
  }

  private meet(i: number, o: Vec3, d: Vec3, best: Struck): void {
    const { corner: c, edge1: e, edge2: f } = this;
    const k = i * 3;
    const ex = e[k]!;
    const ey = e[k + 1]!;
    const ez = e[k + 2]!;
    const fx = f[k]!;
    const fy = f[k + 1]!;
    const fz = f[k + 2]!;
    const px = d[1] * fz - d[2] * fy;
    const py = d[2] * fx - d[0] * fz;
    const pz = d[0] * fy - d[1] * fx;
    const det = ex * px + ey * py + ez * pz;
    if (det === 0) return;
    const tx = o[0] - c[k]!;
    const ty = o[1] - c[k + 1]!;
    const tz = o[2] - c[k + 2]!;
    const u = (tx * px + ty * py + tz * pz) / det;
    if (u < 0 || u > 1) return;
    const qx = ty * ez - tz * ey;
    const qy = tz * ex - tx * ez;
    const qz = tx * ey - ty * ex;
    const v = (d[0] * qx + d[1] * qy + d[2] * qz) / det;
    if (v < 0 || u + v > 1) return;
    const t = (fx * qx + fy * qy + fz * qz) / det;
    /* Two sheets may lie in one plane back to back: the one that faces the ray counts. */
    if (t > 1e-5 && (t < best.t - 1e-9 || (t < best.t + 1e-9 && this.faces(i, d)))) {
      best.t = t;
      best.triangle = i;
    }
  }

  private faces(i: number, d: Vec3): boolean {
    const face = this.scene.faces[this.scene.occluders.face[i]!];
    return face !== undefined && dot(face.normal, d) < 0;
  }

  /** Optical depth of the leaves between 0 and `most`; with `stop`, also where that depth is reached. */
  protected depth(o: Vec3, d: Vec3, most: number, stop = Infinity): { depth: number; at: number; leaf: Leaf | undefined } {
    if (!this.leafRoot) return { depth: 0, at: most, leaf: undefined };
    const spans: { from: number; to: number; leaf: Leaf }[] = [];
    const inverse: Triple = [1 / d[0], 1 / d[1], 1 / d[2]];
    const open: Node[] = [this.leafRoot];
    for (let node = open.pop(); node; node = open.pop()) {
      if (!meetsBox(node, o, inverse, most)) continue;
      if (node.left && node.right) open.push(node.left, node.right);
      for (const i of node.items) {
        const leaf = this.leaves[i]!;
        const { centre: m, radii: r } = leaf;
        const px = (o[0] - m[0]) / r[0];
        const py = (o[1] - m[1]) / r[1];
        const pz = (o[2] - m[2]) / r[2];
        const qx = d[0] / r[0];
        const qy = d[1] / r[1];
        const qz = d[2] / r[2];
        const a = qx * qx + qy * qy + qz * qz;
        const b = px * qx + py * qy + pz * qz;
        const rest = b * b - a * (px * px + py * py + pz * pz - 1);
        if (rest <= 0) continue;
        const from = Math.max(0, (-b - Math.sqrt(rest)) / a);
        const to = Math.min(most, (-b + Math.sqrt(rest)) / a);
        if (to > from) spans.push({ from, to, leaf });
      }
    }
    if (spans.length === 0) return { depth: 0, at: most, leaf: undefined };
    let depth = 0;
    for (const s of spans) depth += s.leaf.extinction * (s.to - s.from);
    if (depth <= stop) return { depth, at: most, leaf: undefined };
    const marks = spans.flatMap((s) => [s.from, s.to]).sort((a, b) => a - b);
    let done = 0;
    for (let m = 0; m + 1 < marks.length; m++) {
      const middle = (marks[m]! + marks[m + 1]!) / 2;
      const inside = spans.filter((s) => s.from <= middle && s.to >= middle);
      const rate = inside.reduce((sum, s) => sum + s.leaf.extinction, 0);
      const more = rate * (marks[m + 1]! - marks[m]!);
      if (done + more >= stop && rate > 0) {
        return { depth, at: marks[m]! + (stop - done) / rate, leaf: inside[0]!.leaf };
      }
      done += more;
    }
    return { depth, at: most, leaf: undefined };
  }

  /** Direct lux on a surface of normal n, RGB equal: I·cosθ/(d² + r²), hard shadow, leaves by their mean. */
  direct(p: Vec3, n: Vec3): number {
    return this.lit(p, n).lux;
  }

  /** Direct lux, and how densely rays of the lamps (one in `lamps.length` each) land there, per square metre. */
  protected lit(p: Vec3, n: Vec3): { lux: number; density: number } {
    let [lux, density] = [0, 0];
    for (const lamp of this.lamps) {
      const to: Triple = [lamp.at[0] - p[0], lamp.at[1] - p[1], lamp.at[2] - p[2]];
      const d2 = dot(to, to);
      const d = Math.sqrt(d2);
      const cos = dot(to, n) / d;
      if (cos <= 0) continue;
      const I = candela(lamp, [-to[0] / d, -to[1] / d, -to[2] / d]);
      if (I <= 0) continue;
      const w: Triple = [to[0] / d, to[1] / d, to[2] / d];
      const start: Triple = [p[0] + 1e-4 * n[0], p[1] + 1e-4 * n[1], p[2] + 1e-4 * n[2]];
      if (this.isShaded(lamp, start, w, d)) continue;
      const T = Math.exp(-this.depth(start, w, d).depth);
      lux += ((I * cos) / (d2 + lamp.lensRadiusM ** 2)) * T;
      density += ((I / lamp.fluxLm) * cos * T) / (d2 * this.lamps.length);
    }
    return { lux, density };
  }

  /** Something stands before the lens: before its centre, or before one place of its disc after the other. */
  private isShaded(lamp: Lamp, start: Vec3, w: Vec3, d: number): boolean {
    if (!lamp.places) return this.nearest(start, w, d - 1e-4) !== undefined;
    this.turn += 7;
    const place = lamp.places[this.turn % lamp.places.length]!;
    const to: Triple = [place[0] - start[0], place[1] - start[1], place[2] - start[2]];
    const far = Math.sqrt(dot(to, to));
    return this.nearest(start, [to[0] / far, to[1] / far, to[2] / far], far - 1e-4) !== undefined;
  }

  /** Luminance of the pane that a ray meets before `most`, RGB cd/m². */
  protected pane(o: Vec3, d: Vec3, most: number): Vec3 | undefined {
    let [best, nearest]: [Vec3 | undefined, number] = [undefined, most + 1e-3];
    for (const { origin, u, v, normal, widthM, heightM, rgbCdM2 } of this.beside.panes ?? []) {
      const facing = dot(normal, d);
      if (facing >= 0) continue;
      const to: Triple = [origin[0] - o[0], origin[1] - o[1], origin[2] - o[2]];
      const t = dot(normal, to) / facing;
      if (t <= 0 || t >= nearest) continue;
      const x: Triple = [t * d[0] - to[0], t * d[1] - to[1], t * d[2] - to[2]];
      const [a, b] = [dot(x, u), dot(x, v)];
      if (a < 0 || b < 0 || a > widthM || b > heightM) continue;
      [best, nearest] = [rgbCdM2, t];
    }
    return best;
  }

  /** Light that one ray of a lamp brings to (p, n) by one surface: weighed against directions drawn at p (Veach 1995). */
  private fromLamp(p: Vec3, n: Vec3, share: Triple, out: Found, byStrand: boolean, random: Random): void {
    if (this.lamps.length === 0) return;
    const lamp = this.lamps[Math.min(this.lamps.length - 1, Math.floor(random() * this.lamps.length))]!;
    const d = ofBeam(lamp, random);
    if (!d) return;
    const met = this.nearest(lamp.at, d);
    if (!met || this.depth(lamp.at, d, met.t).depth > -Math.log(1 - random())) return;
    const at = along(lamp.at, d, met.t);
    const surface = this.surface(met.triangle, at, d);
    if (!surface) return;
    const x: Triple = [at[0] + 1e-4 * surface.normal[0], at[1] + 1e-4 * surface.normal[1], at[2] + 1e-4 * surface.normal[2]];
    const to: Triple = [x[0] - p[0], x[1] - p[1], x[2] - p[2]];
    const d2 = dot(to, to);
    const r = Math.sqrt(d2);
    const w: Triple = [to[0] / r, to[1] / r, to[2] / r];
    const [cosHere, cosThere] = [dot(w, n), -dot(w, surface.normal)];
    if (cosHere <= 0 || cosThere <= 0 || this.nearest(p, w, r - 2e-4)) return;
    const { lux, density } = this.lit(x, surface.normal);
    const mine = ((cosHere * cosThere) / (Math.PI * d2)) * Math.exp(-this.depth(p, w, r).depth);
    if (!(density + mine > 0)) return;
    const much = (lux * mine) / (mine + density);
    for (let k = 0; k < 3; k++) add(out, k, share[k]! * surface.rho[k]! * this.lampRgb[k]! * much, byStrand || surface.isStrand);
  }

  /** What a triangle reflects at a place, and what it sends out by itself (lux-equivalent π·L). `undefined`: a back side. */
  protected surface(i: number, at: Vec3, d: Vec3): Surface | undefined {
    const { occluders, faces, materials } = this.scene;
    const face = faces[occluders.face[i]!];
    if (!face) {
      const material = this.strandMaterial.get(occluders.partIds[occluders.part[i]!]!);
      if (material === undefined) return undefined;
      const [e, f] = [this.edge1.subarray(i * 3, i * 3 + 3), this.edge2.subarray(i * 3, i * 3 + 3)];
      const n: Triple = [e[1]! * f[2]! - e[2]! * f[1]!, e[2]! * f[0]! - e[0]! * f[2]!, e[0]! * f[1]! - e[1]! * f[0]!];
      const size = (dot(n, d) > 0 ? -1 : 1) * Math.hypot(...n);
      return {
        isStrand: true,
        rho: materials[material]!.reflectanceRgb,
        glow: 0,
        normal: [n[0] / size, n[1] / size, n[2] / size],
      };
    }
    if (dot(face.normal, d) >= 0) return undefined;
    const q: Triple = [at[0] - face.origin[0], at[1] - face.origin[1], at[2] - face.origin[2]];
    const [s, t] = [dot(q, face.u), dot(q, face.v)];
    let material = face.material;
    for (const patch of face.patches) if (contains(patch.loop, s, t)) material = patch.material;
    return { isStrand: false, rho: materials[material]!.reflectanceRgb, glow: Math.PI * face.luminanceCdM2, normal: face.normal };
  }

  /**
   * Light at a point that has met a surface or a leaf, and light of luminous faces, RGB lux, by `side`² paths whose first
   * directions are stratified. `error`: standard error of the green channel, as a share.
   */
  indirect(p: Vec3, n: Vec3, side: number, random: Random): { rgb: Vec3; error: number } {
    const sum: Triple = [0, 0, 0];
    let squares = 0;
    for (let a = 0; a < side; a++) {
      for (let b = 0; b < side; b++) {
        const one = this.path(p, n, (a + random()) / side, (b + random()) / side, random);
        for (let k = 0; k < 3; k++) sum[k]! += one[k]!;
        squares += one[1] * one[1];
      }
    }
    const N = side * side;
    const mean = sum[1] / N;
    const error = mean > 0 ? Math.sqrt(Math.max(0, squares / N - mean * mean) / N) / mean : 0;
    return { rgb: [sum[0] / N, sum[1] / N, sum[2] / N], error };
  }

  protected path(p: Vec3, n: Vec3, u: number, v: number, random: Random): Found {
    const out: Found = [0, 0, 0, 0, 0, 0];
    let byStrand = false;
    const share: Triple = [1, 1, 1];
    let at: Vec3 = [p[0] + 1e-4 * n[0], p[1] + 1e-4 * n[1], p[2] + 1e-4 * n[2]];
    let d: Vec3 = lambert(n, u, v);
    let from: Vec3 = n;
    for (let step = 0; step < 64; step++) {
      this.fromLamp(at, from, share, out, byStrand, random);
      const met = this.nearest(at, d);
      const reach = met ? met.t : 1e4;
      const free = this.depth(at, d, reach, -Math.log(1 - random()));
      let normal: Vec3;
      let weight = 1;
      if (free.leaf) {
        at = along(at, d, free.at);
        const leaf = leafNormal(d, random);
        const back: Vec3 = dot(leaf, d) < 0 ? leaf : [-leaf[0], -leaf[1], -leaf[2]];
        const reflects = random() < 0.5;
        normal = reflects ? back : [-back[0], -back[1], -back[2]];
        for (let k = 0; k < 3; k++) share[k]! *= 2 * (reflects ? free.leaf.reflects[k]! : free.leaf.passes[k]!);
      } else {
        const glow = this.pane(at, d, reach) ?? (met ? undefined : this.beside.sky?.(d));
        if (glow) for (let k = 0; k < 3; k++) add(out, k, share[k]! * Math.PI * glow[k]!, byStrand);
        if (glow || !met) break;
        const before = at;
        at = along(at, d, met.t);
        const surface = this.surface(met.triangle, at, d);
        if (!surface) break;
        normal = surface.normal;
        byStrand ||= surface.isStrand;
        for (let k = 0; k < 3; k++) {
          add(out, k, share[k]! * surface.glow, byStrand);
          share[k]! *= surface.rho[k]!;
        }
        at = [at[0] + 1e-4 * normal[0], at[1] + 1e-4 * normal[1], at[2] + 1e-4 * normal[2]];
        const mine = (dot(d, from) * -dot(d, normal) * Math.exp(-this.depth(before, d, met.t).depth)) / (Math.PI * met.t ** 2);
        weight = mine;
      }
      const { lux: E, density } = this.lit(at, normal);
      if (!free.leaf) weight /= weight + density;
      for (let k = 0; k < 3; k++) add(out, k, share[k]! * this.lampRgb[k]! * E * weight, byStrand);
      const most = Math.max(...share);
      if (most < 0.1) {
        if (random() > most / 0.1) break;
        for (let k = 0; k < 3; k++) share[k]! *= 0.1 / most;
      }
      d = lambert(normal, random(), random());
      from = normal;
    }
    return out;
  }
}

/** RGB of all light, then of the part that a bar, post, trunk or limb has sent on. */
export type Found = [number, number, number, number, number, number];

function add(out: Found, k: number, value: number, byStrand: boolean): void {
  out[k]! += value;
  if (byStrand) out[k + 3]! += value;
}

export const along = (p: Vec3, d: Vec3, t: number): Triple => [p[0] + t * d[0], p[1] + t * d[1], p[2] + t * d[2]];

function contains(loop: readonly Vec2[], s: number, t: number): boolean {
  let turns = 0;
  loop.forEach(([as, at], i) => {
    const [bs, bt] = loop[(i + 1) % loop.length]!;
    const side = (bs - as) * (t - at) - (s - as) * (bt - at);
    if (at <= t && bt > t && side > 0) turns++;
    if (at > t && bt <= t && side < 0) turns--;
  });
  return turns !== 0;
}
