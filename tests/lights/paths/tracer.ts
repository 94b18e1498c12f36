import type { LeafEllipsoid, SceneModel, Vec2, Vec3 } from '../../../src/scene/index.ts';

/**
 * Brute-force path tracer, the outside judge of the bounces. It shares no code with the solver: own tree, own
 * intersection, own beam formula, own leaves (Beer–Lambert with single leaves that scatter), own dice (Mulberry32).
 * Light of a white unit source throughout; RGB comes from what it meets.
 */
export interface Lamp {
  at: Vec3;
  aim: Vec3;
  fluxLm: number;
  beamAngleFullDeg: number;
  spillShare: number;
  lensRadiusM: number;
}

type Triple = [number, number, number];
export type Random = () => number;

export function dice(seed: number): Random {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) | 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const dot = (a: ArrayLike<number>, b: ArrayLike<number>): number => a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;

interface Node {
  low: Triple;
  high: Triple;
  left: Node | undefined;
  right: Node | undefined;
  items: number[];
}

interface Surface {
  rho: readonly number[];
  glow: number;
  normal: Vec3;
}

interface Struck {
  t: number;
  triangle: number;
}

interface Leaf {
  centre: Vec3;
  radii: Vec3;
  /** G·Ω·LAD per metre. */
  extinction: number;
  reflects: Vec3;
  passes: Vec3;
}

/** Leaf colours of textbook crowns: as those of plants (luminous .10 and .05). */
export interface LeafColour {
  reflects: Vec3;
  passes: Vec3;
}

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

  constructor(scene: SceneModel, lamps: readonly Lamp[], crownLeaves: LeafColour) {
    this.scene = scene;
    this.lamps = lamps;
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
    const [ex, ey, ez] = [e[k]!, e[k + 1]!, e[k + 2]!];
    const [fx, fy, fz] = [f[k]!, f[k + 1]!, f[k + 2]!];
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
  private depth(o: Vec3, d: Vec3, most: number, stop = Infinity): { depth: number; at: number; leaf: Leaf | undefined } {
    if (!this.leafRoot) return { depth: 0, at: most, leaf: undefined };
    const spans: { from: number; to: number; leaf: Leaf }[] = [];
    const inverse: Triple = [1 / d[0], 1 / d[1], 1 / d[2]];
    const open: Node[] = [this.leafRoot];
    for (let node = open.pop(); node; node = open.pop()) {
      if (!meetsBox(node, o, inverse, most)) continue;
      if (node.left && node.right) open.push(node.left, node.right);
      for (const i of node.items) {
        const leaf = this.leaves[i]!;
        const p = o.map((x, k) => (x - leaf.centre[k]!) / leaf.radii[k]!);
        const q = d.map((x, k) => x / leaf.radii[k]!);
        const [a, b, c] = [dot(q, q), dot(p, q), dot(p, p) - 1];
        const rest = b * b - a * c;
        if (rest <= 0) continue;
        const from = Math.max(0, (-b - Math.sqrt(rest)) / a);
        const to = Math.min(most, (-b + Math.sqrt(rest)) / a);
        if (to > from) spans.push({ from, to, leaf });
      }
    }
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
  private lit(p: Vec3, n: Vec3): { lux: number; density: number } {
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
      if (this.nearest(start, w, d - 1e-4)) continue;
      const T = Math.exp(-this.depth(start, w, d).depth);
      lux += ((I * cos) / (d2 + lamp.lensRadiusM ** 2)) * T;
      density += ((I / lamp.fluxLm) * cos * T) / (d2 * this.lamps.length);
    }
    return { lux, density };
  }

  /** Light that one ray of a lamp brings to (p, n) by one surface: weighed against directions drawn at p (Veach 1995). */
  private fromLamp(p: Vec3, n: Vec3, share: Triple, out: Triple, random: Random): void {
    if (this.lamps.length === 0) return;
    const lamp = this.lamps[Math.min(this.lamps.length - 1, Math.floor(random() * this.lamps.length))]!;
    const d = ofBeam(lamp, random);
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
    for (let k = 0; k < 3; k++) out[k]! += (share[k]! * surface.rho[k]! * lux * mine) / (mine + density);
  }

  /** What a triangle reflects at a place, and what it sends out by itself (lux-equivalent π·L). `undefined`: a back side. */
  private surface(i: number, at: Vec3, d: Vec3): Surface | undefined {
    const { occluders, faces, materials } = this.scene;
    const face = faces[occluders.face[i]!];
    if (!face) {
      const material = this.strandMaterial.get(occluders.partIds[occluders.part[i]!]!);
      if (material === undefined) return undefined;
      const [e, f] = [this.edge1.subarray(i * 3, i * 3 + 3), this.edge2.subarray(i * 3, i * 3 + 3)];
      const n: Triple = [e[1]! * f[2]! - e[2]! * f[1]!, e[2]! * f[0]! - e[0]! * f[2]!, e[0]! * f[1]! - e[1]! * f[0]!];
      const size = (dot(n, d) > 0 ? -1 : 1) * Math.hypot(...n);
      return { rho: materials[material]!.reflectanceRgb, glow: 0, normal: [n[0] / size, n[1] / size, n[2] / size] };
    }
    if (dot(face.normal, d) >= 0) return undefined;
    const q: Triple = [at[0] - face.origin[0], at[1] - face.origin[1], at[2] - face.origin[2]];
    const [s, t] = [dot(q, face.u), dot(q, face.v)];
    let material = face.material;
    for (const patch of face.patches) if (contains(patch.loop, s, t)) material = patch.material;
    return { rho: materials[material]!.reflectanceRgb, glow: Math.PI * face.luminanceCdM2, normal: face.normal };
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

  private path(p: Vec3, n: Vec3, u: number, v: number, random: Random): Triple {
    const out: Triple = [0, 0, 0];
    const share: Triple = [1, 1, 1];
    let at: Vec3 = [p[0] + 1e-4 * n[0], p[1] + 1e-4 * n[1], p[2] + 1e-4 * n[2]];
    let d: Vec3 = lambert(n, u, v);
    let from: Vec3 = n;
    for (let step = 0; step < 64; step++) {
      this.fromLamp(at, from, share, out, random);
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
        if (!met) break;
        const before = at;
        at = along(at, d, met.t);
        const surface = this.surface(met.triangle, at, d);
        if (!surface) break;
        normal = surface.normal;
        for (let k = 0; k < 3; k++) {
          out[k]! += share[k]! * surface.glow;
          share[k]! *= surface.rho[k]!;
        }
        at = [at[0] + 1e-4 * normal[0], at[1] + 1e-4 * normal[1], at[2] + 1e-4 * normal[2]];
        const mine = (dot(d, from) * -dot(d, normal) * Math.exp(-this.depth(before, d, met.t).depth)) / (Math.PI * met.t ** 2);
        weight = mine;
      }
      const { lux: E, density } = this.lit(at, normal);
      if (!free.leaf) weight /= weight + density;
      for (let k = 0; k < 3; k++) out[k]! += share[k]! * E * weight;
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

/** A direction of a lamp's light, as dense as its candela. */
function ofBeam(lamp: Lamp, random: Random): Triple {
  const axis: Triple = [lamp.aim[0] - lamp.at[0], lamp.aim[1] - lamp.at[1], lamp.aim[2] - lamp.at[2]];
  const size = Math.hypot(...axis);
  const n = random() < lamp.spillShare ? 1 : Math.log(0.5) / Math.log(Math.cos((lamp.beamAngleFullDeg * Math.PI) / 360));
  const cos = random() ** (1 / (n + 1));
  return round([axis[0] / size, axis[1] / size, axis[2] / size], cos, random());
}

function candela(lamp: Lamp, d: Vec3): number {
  const axis: Triple = [lamp.aim[0] - lamp.at[0], lamp.aim[1] - lamp.at[1], lamp.aim[2] - lamp.at[2]];
  const cos = dot(axis, d) / Math.hypot(...axis);
  if (cos <= 0) return 0;
  const n = Math.log(0.5) / Math.log(Math.cos((lamp.beamAngleFullDeg * Math.PI) / 360));
  const { fluxLm: F, spillShare: s } = lamp;
  return (1 - s) * F * ((n + 1) / (2 * Math.PI)) * cos ** n + ((s * F) / Math.PI) * cos;
}

const along = (p: Vec3, d: Vec3, t: number): Triple => [p[0] + t * d[0], p[1] + t * d[1], p[2] + t * d[2]];

/** Lambert's direction round n: polar, by the root of one number. */
const lambert = (n: Vec3, u: number, v: number): Triple => round(n, Math.sqrt(Math.max(0, 1 - u)), v);

function round(n: Vec3, z: number, turn: number): Triple {
  const r = Math.sqrt(Math.max(0, 1 - z * z));
  const [x, y] = [r * Math.cos(2 * Math.PI * turn), r * Math.sin(2 * Math.PI * turn)];
  const h: Triple = Math.abs(n[0]) > 0.8 ? [0, 1, 0] : [1, 0, 0];
  let a: Triple = [h[1] * n[2] - h[2] * n[1], h[2] * n[0] - h[0] * n[2], h[0] * n[1] - h[1] * n[0]];
  const size = Math.hypot(...a);
  a = [a[0] / size, a[1] / size, a[2] / size];
  const b: Triple = [n[1] * a[2] - n[2] * a[1], n[2] * a[0] - n[0] * a[2], n[0] * a[1] - n[1] * a[0]];
  return [x * a[0] + y * b[0] + z * n[0], x * a[1] + y * b[1] + z * n[1], x * a[2] + y * b[2] + z * n[2]];
}

/** Normal of the leaf met along d, leaves lying every way: chance in proportion to |cos|. */
function leafNormal(d: Vec3, random: Random): Triple {
  for (;;) {
    const y = 2 * random() - 1;
    const phi = 2 * Math.PI * random();
    const s = Math.sqrt(1 - y * y);
    const n: Triple = [s * Math.cos(phi), y, s * Math.sin(phi)];
    if (random() < Math.abs(dot(n, d))) return n;
  }
}

function leavesOf(scene: SceneModel, crown: LeafColour): Leaf[] {
  const out: Leaf[] = [];
  for (const plant of scene.plants) {
    for (let i = 0; i < plant.clumps.length; i += 5) {
      const r = plant.clumps[i + 3]!;
      out.push({
        centre: [plant.clumps[i]!, plant.clumps[i + 1]!, plant.clumps[i + 2]!],
        radii: [r, r, r],
        extinction: 0.5 * plant.clumping * plant.clumps[i + 4]!,
        reflects: plant.leafReflectanceRgb as Vec3,
        passes: plant.leafTransmittanceRgb as Vec3,
      });
    }
  }
  const one = (e: LeafEllipsoid): Leaf => ({
    centre: e.centre,
    radii: e.radiiM,
    extinction: 0.5 * e.clumping * e.leafAreaDensityM2M3,
    ...crown,
  });
  return [...out, ...scene.ellipsoids.map(one)];
}

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

/** Boxes split at the median of their centres along the longest side. */
function treeOf(boxes: readonly { low: Triple; high: Triple }[], items = boxes.map((_, i) => i)): Node {
  const low: Triple = [Infinity, Infinity, Infinity];
  const high: Triple = [-Infinity, -Infinity, -Infinity];
  for (const i of items) {
    for (let k = 0; k < 3; k++) {
      low[k] = Math.min(low[k]!, boxes[i]!.low[k]!);
      high[k] = Math.max(high[k]!, boxes[i]!.high[k]!);
    }
  }
  if (items.length <= 4) return { low, high, left: undefined, right: undefined, items };
  const axis = [0, 1, 2].reduce((best, k) => (high[k]! - low[k]! > high[best]! - low[best]! ? k : best), 0);
  const middle = (i: number): number => boxes[i]!.low[axis]! + boxes[i]!.high[axis]!;
  const sorted = [...items].sort((a, b) => middle(a) - middle(b));
  const half = sorted.length >> 1;
  return { low, high, left: treeOf(boxes, sorted.slice(0, half)), right: treeOf(boxes, sorted.slice(half)), items: [] };
}

function meetsBox(node: Node, o: Vec3, inverse: Triple, most: number): boolean {
  let near = 0;
  let far = most;
  for (let k = 0; k < 3; k++) {
    const a = (node.low[k]! - o[k]!) * inverse[k]!;
    const b = (node.high[k]! - o[k]!) * inverse[k]!;
    if (Number.isNaN(a) || Number.isNaN(b)) continue;
    near = Math.max(near, Math.min(a, b));
    far = Math.min(far, Math.max(a, b));
  }
  return near <= far;
}
