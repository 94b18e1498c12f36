// Which leaves of a tree meet a convex shaft of planes. Four boxes a step.
import { EMPTY_CHILD, NODE_BYTES, PLANES, STACK } from '../layout';
import { dot3 } from './shared';

const PLANE_BYTES: usize = 32;
let planesEnd: usize = PLANES;
let nodes: usize = 0;
let top: usize = 0;

/** Forgets all planes. */
export function clearPlanes(): void {
  planesEnd = PLANES;
}

/** Adds a plane: what lies wholly in n·x < d is out. The far corner of a box is known from the signs of n. */
export function addPlane(x: f64, y: f64, z: f64, d: f64): void {
  store<f32>(planesEnd, <f32>x);
  store<f32>(planesEnd, <f32>y, 4);
  store<f32>(planesEnd, <f32>z, 8);
  store<f32>(planesEnd, <f32>d, 12);
  store<i32>(planesEnd, x > 0 ? 16 : 0, 16);
  store<i32>(planesEnd, y > 0 ? 48 : 32, 20);
  store<i32>(planesEnd, z > 0 ? 80 : 64, 24);
  planesEnd += PLANE_BYTES;
}

/** Begins at the root of a tree. */
export function startShaft(root: usize): void {
  nodes = root;
  store<i32>(STACK, 0);
  top = 4;
}

/** Code of the next leaf that meets the shaft, `EMPTY_CHILD` when there is none left. */
export function nextLeaf(): i32 {
  let at = top;
  const end = planesEnd;
  while (at !== 0) {
    at -= 4;
    const code = load<i32>(STACK + at);
    if (code < 0) {
      top = at;
      return code;
    }
    const node = nodes + <usize>code * NODE_BYTES;
    let out = i32x4.splat(0);
    for (let p: usize = PLANES; p < end; p += PLANE_BYTES) {
      const far = dot3(
        v128.load32_splat(p),
        v128.load32_splat(p, 4),
        v128.load32_splat(p, 8),
        v128.load(node + load<u32>(p, 16)),
        v128.load(node + load<u32>(p, 20)),
        v128.load(node + load<u32>(p, 24)),
      );
      out = v128.or(out, f32x4.lt(far, v128.load32_splat(p, 12)));
      if (i32x4.all_true(out)) break;
    }
    let bits = i32x4.bitmask(out) ^ 15;
    while (bits !== 0) {
      const c = ctz(bits);
      bits &= bits - 1;
      store<i32>(STACK + at, load<i32>(node + ((<usize>c) << 2), 96));
      at += 4;
    }
  }
  top = 0;
  return EMPTY_CHILD;
}
