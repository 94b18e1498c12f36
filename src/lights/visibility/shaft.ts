import type { BoxTree } from '../rays/bvh.ts';
import type { FaceFrame } from '../tiles/node.ts';

/**
 * Convex shaft between a rectangle of a face and a point: six planes (nx, ny, nz, d), a box is out when all of it has
 * n·x < d. Four sides through the lamp, the receiver plane, and the lamp's height over it.
 */
export type Shaft = Float64Array;

export function createShaft(): Shaft {
  return new Float64Array(24);
}

/** Rectangle in face coordinates; (ls, lt, h) is the lamp in the same frame. */
export function aimShaft(
  shaft: Shaft,
  f: FaceFrame,
  s0: number,
  s1: number,
  t0: number,
  t1: number,
  ls: number,
  lt: number,
  h: number,
): void {
  const lx = f[0]! + ls * f[3]! + lt * f[6]! + h * f[9]!;
  const ly = f[1]! + ls * f[4]! + lt * f[7]! + h * f[10]!;
  const lz = f[2]! + ls * f[5]! + lt * f[8]! + h * f[11]!;
  // Side through the lamp and an edge s = s0: its normal lies in the (s, n) plane, and so on round.
  setSide(shaft, 0, f, 3, h, ls - s0, 1, lx, ly, lz);
  setSide(shaft, 4, f, 3, h, ls - s1, -1, lx, ly, lz);
  setSide(shaft, 8, f, 6, h, lt - t0, 1, lx, ly, lz);
  setSide(shaft, 12, f, 6, h, lt - t1, -1, lx, ly, lz);
  const plane = f[0]! * f[9]! + f[1]! * f[10]! + f[2]! * f[11]!;
  for (let k = 0; k < 3; k++) {
    shaft[16 + k] = f[9 + k]!;
    shaft[20 + k] = -f[9 + k]!;
  }
  shaft[19] = plane + 1e-4;
  shaft[23] = -(plane + h);
}

/** Plane through the lamp and the line at distance `run` from the lamp's foot: inward normal sign·(h·axis − run·n). */
function setSide(
  shaft: Shaft,
  at: number,
  f: FaceFrame,
  axis: number,
  h: number,
  run: number,
  sign: number,
  lx: number,
  ly: number,
  lz: number,
): void {
  const x = sign * (h * f[axis]! - run * f[9]!);
  const y = sign * (h * f[axis + 1]! - run * f[10]!);
  const z = sign * (h * f[axis + 2]! - run * f[11]!);
  shaft[at] = x;
  shaft[at + 1] = y;
  shaft[at + 2] = z;
  // A hair of slack, so that nothing that touches the rim is lost to rounding.
  shaft[at + 3] = x * lx + y * ly + z * lz - 1e-6 * (Math.abs(x) + Math.abs(y) + Math.abs(z));
}

function boxOut(shaft: Shaft, b: Float32Array, at: number): boolean {
  for (let p = 0; p < 24; p += 4) {
    const x = shaft[p]!;
    const y = shaft[p + 1]!;
    const z = shaft[p + 2]!;
    const far = x * (x > 0 ? b[at + 3]! : b[at]!) + y * (y > 0 ? b[at + 4]! : b[at + 1]!) + z * (z > 0 ? b[at + 5]! : b[at + 2]!);
    if (far < shaft[p + 3]!) return true;
  }
  return false;
}

const stack = new Int32Array(256);

/**
 * Leaf places (index into the tree's order) whose leaf box meets the shaft.
 * @returns how many were written; `out` grows as needed through `room`.
 */
export function collect(tree: BoxTree, shaft: Shaft, out: { items: Int32Array }): number {
  if (tree.order.length === 0) return 0;
  let n = 0;
  let top = 0;
  stack[top++] = 0;
  while (top > 0) {
    const node = stack[--top]!;
    if (boxOut(shaft, tree.bounds, node * 6)) continue;
    const count = tree.count[node]!;
    const first = tree.first[node]!;
    if (count === 0) {
      stack[top++] = first + 1;
      stack[top++] = first;
      continue;
    }
    if (n + count > out.items.length) {
      const bigger = new Int32Array(out.items.length * 2 + count);
      bigger.set(out.items);
      out.items = bigger;
    }
    for (let i = 0; i < count; i++) out.items[n++] = first + i;
  }
  return n;
}
