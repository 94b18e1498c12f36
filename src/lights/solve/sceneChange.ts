import type { ConvexBlock, Face, SceneModel } from '../../scene/index.ts';

/** Rectangle in face coordinates. */
export interface Rect {
  s0: number;
  t0: number;
  s1: number;
  t1: number;
}

/** What became of one face of the new scene. */
export interface FaceChange {
  /** The face of the same id in the old scene, −1: it is new. */
  old: number;
  /** `kept`: the same in every number that samples depend on. `edited`: same frame and size, other outline or covers. */
  kind: 'kept' | 'edited' | 'remade';
  /** Where an edited face differs. */
  rects: Rect[];
}

/** How one massing differs from another. Boxes are 6 numbers each: min x, y, z, max x, y, z. */
export interface SceneChange {
  /** Round all triangles, leaves and bodies that came, went or moved: old place ∪ new place of each part. */
  swept: Float64Array;
  /** Round bodies that hide samples and came, went or moved. */
  bodies: Float64Array;
  /** One entry a face of the new scene. */
  faces: FaceChange[];
  /** New index of each old face, −1 where it went. */
  newOfOld: Int32Array;
}

/** Compares two massings by what they hold, not by the records they were made from: what follows from an edit counts too. */
export function compareScenes(before: SceneModel, after: SceneModel): SceneChange {
  const swept: number[] = [];
  const bodies: number[] = [];
  sweepTriangles(before, after, swept);
  sweepLeaves(before, after, swept);
  sweepBlocks(before.blocks, after.blocks, bodies);
  const { faces, newOfOld } = compareFaces(before.faces, after.faces);
  return {
    swept: Float64Array.from([...swept, ...bodies]),
    bodies: Float64Array.from(bodies),
    faces,
    newOfOld,
  };
}

class BoxAround {
  private readonly box = [Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity];

  take(x: number, y: number, z: number, radius = 0): void {
    const b = this.box;
    b[0] = Math.min(b[0]!, x - radius);
    b[1] = Math.min(b[1]!, y - radius);
    b[2] = Math.min(b[2]!, z - radius);
    b[3] = Math.max(b[3]!, x + radius);
    b[4] = Math.max(b[4]!, y + radius);
    b[5] = Math.max(b[5]!, z + radius);
  }

  addTo(list: number[]): void {
    if (this.box[0]! <= this.box[3]!) list.push(...this.box);
  }
}

/** Triangles of each part, in order. */
function trianglesByPart(scene: SceneModel): Map<string, number[]> {
  const { occluders } = scene;
  const out = new Map<string, number[]>();
  const lists: (number[] | undefined)[] = [];
  for (let i = 0; i < occluders.count; i++) {
    const part = occluders.part[i]!;
    let list = lists[part];
    if (!list) {
      list = [];
      lists[part] = list;
      out.set(occluders.partIds[part]!, list);
    }
    list.push(i);
  }
  return out;
}

function sweepTriangles(before: SceneModel, after: SceneModel, out: number[]): void {
  const [old, now] = [trianglesByPart(before), trianglesByPart(after)];
  const [p, q] = [before.occluders.positionsM, after.occluders.positionsM];
  for (const part of new Set([...old.keys(), ...now.keys()])) {
    const a = old.get(part) ?? [];
    const b = now.get(part) ?? [];
    if (sameTriangles(p, a, q, b)) continue;
    const box = new BoxAround();
    takeUnmatched(p, a, new Set(b.map((i) => keyOf(q, i))), box);
    takeUnmatched(q, b, new Set(a.map((i) => keyOf(p, i))), box);
    box.addTo(out);
  }
}

function sameTriangles(p: Float32Array, a: readonly number[], q: Float32Array, b: readonly number[]): boolean {
  if (a.length !== b.length) return false;
  for (let n = 0; n < a.length; n++) {
    const [i, j] = [a[n]! * 9, b[n]! * 9];
    for (let k = 0; k < 9; k++) if (p[i + k] !== q[j + k]) return false;
  }
  return true;
}

const keyOf = (p: Float32Array, i: number): string => p.subarray(i * 9, i * 9 + 9).join();

function takeUnmatched(p: Float32Array, list: readonly number[], others: ReadonlySet<string>, box: BoxAround): void {
  for (const i of list) {
    if (others.has(keyOf(p, i))) continue;
    for (let k = i * 9; k < i * 9 + 9; k += 3) box.take(p[k]!, p[k + 1]!, p[k + 2]!);
  }
}

function sweepLeaves(before: SceneModel, after: SceneModel, out: number[]): void {
  const old = new Map(before.plants.map((p) => [p.id, p]));
  const now = new Map(after.plants.map((p) => [p.id, p]));
  for (const id of new Set([...old.keys(), ...now.keys()])) {
    const [a, b] = [old.get(id), now.get(id)];
    if (a && b && a.clumping === b.clumping && sameNumbers(a.clumps, b.clumps)) continue;
    const box = new BoxAround();
    for (const plant of [a, b]) {
      const c = plant?.clumps ?? [];
      for (let i = 0; i + 4 < c.length; i += 5) box.take(c[i]!, c[i + 1]!, c[i + 2]!, c[i + 3]!);
    }
    box.addTo(out);
  }
  const crown = (e: SceneModel['ellipsoids'][number]): string =>
    JSON.stringify([e.centre, e.radiiM, e.leafAreaDensityM2M3, e.clumping]);
  const [was, is] = [new Set(before.ellipsoids.map(crown)), new Set(after.ellipsoids.map(crown))];
  for (const e of [
    ...before.ellipsoids.filter((x) => !is.has(crown(x))),
    ...after.ellipsoids.filter((x) => !was.has(crown(x))),
  ]) {
    const [c, r] = [e.centre, e.radiiM];
    out.push(c[0] - r[0], c[1] - r[1], c[2] - r[2], c[0] + r[0], c[1] + r[1], c[2] + r[2]);
  }
}

function sweepBlocks(before: readonly ConvexBlock[], after: readonly ConvexBlock[], out: number[]): void {
  const key = (b: ConvexBlock): string => `${b.partId}:${b.planes.join()}`;
  const [old, now] = [new Set(before.map(key)), new Set(after.map(key))];
  const byPart = new Map<string, BoxAround>();
  const take = (b: ConvexBlock): void => {
    let box = byPart.get(b.partId);
    if (!box) {
      box = new BoxAround();
      byPart.set(b.partId, box);
    }
    box.take(...b.min);
    box.take(...b.max);
  };
  for (const b of before) if (!now.has(key(b))) take(b);
  for (const b of after) if (!old.has(key(b))) take(b);
  for (const box of byPart.values()) box.addTo(out);
}

export function sameNumbers(a: ArrayLike<number>, b: ArrayLike<number>): boolean {
  if (a.length !== b.length) return false;
  for (let k = 0; k < a.length; k++) if (a[k] !== b[k]) return false;
  return true;
}

function compareFaces(before: readonly Face[], after: readonly Face[]): { faces: FaceChange[]; newOfOld: Int32Array } {
  const oldIndex = new Map(before.map((f, i) => [f.id, i]));
  const newOfOld = new Int32Array(before.length).fill(-1);
  const faces = after.map((face, index): FaceChange => {
    const old = oldIndex.get(face.id) ?? -1;
    const was = before[old];
    if (!was || newOfOld[old] !== -1) return { old: -1, kind: 'remade', rects: [] };
    newOfOld[old] = index;
    const same =
      sameNumbers(was.origin, face.origin) &&
      sameNumbers(was.u, face.u) &&
      sameNumbers(was.v, face.v) &&
      was.widthM === face.widthM &&
      was.heightM === face.heightM &&
      was.finestM === face.finestM &&
      was.sampled === face.sampled;
    if (!same) return { old, kind: 'remade', rects: [] };
    const rects = [
      ...unmatched(was.covers, face.covers).map((c) => ({ ...c })),
      ...unmatched(was.loops, face.loops).map((loop) => boundsOf(loop)),
    ];
    return { old, kind: rects.length > 0 ? 'edited' : 'kept', rects };
  });
  return { faces, newOfOld };
}

/** Entries of two lists that the other list has not. */
function unmatched<T>(a: readonly T[], b: readonly T[]): T[] {
  const [ka, kb] = [new Set(a.map((x) => JSON.stringify(x))), new Set(b.map((x) => JSON.stringify(x)))];
  return [...a.filter((x) => !kb.has(JSON.stringify(x))), ...b.filter((x) => !ka.has(JSON.stringify(x)))];
}

function boundsOf(loop: readonly (readonly [number, number])[]): Rect {
  const ss = loop.map((p) => p[0]);
  const ts = loop.map((p) => p[1]);
  return { s0: Math.min(...ss), t0: Math.min(...ts), s1: Math.max(...ss), t1: Math.max(...ts) };
}
