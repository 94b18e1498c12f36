// Optical depth of leaf bodies at the samples of a tile: per body and row the span inside its tangent cone.
import { BODY_BLOCK_BYTES, DEPTH, EMPTY_CHILD, PARAM_FRAME, PARAM_GRID, PARAM_LAMP, ROWS, SHADOW } from '../layout';
import { nextLeaf, startShaft } from './shaft';
import { bodyBlocks, bodyCount, bodyNodes, chordShare, dot3, laneMask, param, param32 } from './shared';
import { lampH, x0, y0 } from './tile';

/** World vector from the lamp to sample (0, 0), and its steps along columns and rows. */
let startX: f32 = 0;
let startY: f32 = 0;
let startZ: f32 = 0;
/** Samples that want a depth: open ones and their neighbours, for the shadow edges. 32 words after `DEPTH`. */
const WANTED: usize = 36096;

/** Writes `DEPTH` for the shaft now aimed; returns 1 when a leaf lies on the way to any sample wanted. */
export function sumLeaves(): i32 {
  if (bodyCount === 0) return 0;
  markWanted();
  const cell = param(PARAM_GRID + 2);
  const s = param(PARAM_GRID) - 0.5 * cell;
  const t = param(PARAM_GRID + 1) - 0.5 * cell;
  startX = <f32>(param(PARAM_FRAME) + s * param(3) + t * param(6) - param(PARAM_LAMP));
  startY = <f32>(param(PARAM_FRAME + 1) + s * param(4) + t * param(7) - param(PARAM_LAMP + 1));
  startZ = <f32>(param(PARAM_FRAME + 2) + s * param(5) + t * param(8) - param(PARAM_LAMP + 2));
  let touched = 0;
  startShaft(bodyNodes);
  for (let code = nextLeaf(); code !== EMPTY_CHILD; code = nextLeaf()) {
    const place = ~code;
    const blocks = (place & 7) + 1;
    let b = bodyBlocks + <usize>(place >> 3) * BODY_BLOCK_BYTES;
    for (let k = 0; k < blocks; k++, b += BODY_BLOCK_BYTES) {
      for (let lane: usize = 0; lane < 16; lane += 4) {
        if (load<f32>(b + lane, 96) === 0) continue;
        if (touched === 0) clearDepth();
        touched = 1;
        drawBody(b + lane);
      }
    }
  }
  return touched !== 0 ? toMetres() : 0;
}

function markWanted(): void {
  for (let j = 0; j < 32; j++) {
    let open: u32 = 0;
    for (let k = max(0, j - 1); k <= min(31, j + 1); k++) open |= load<u32>(ROWS + (k << 2)) & ~load<u32>(SHADOW + (k << 2));
    store<u32>(WANTED + ((<usize>j) << 2), load<u32>(ROWS + (j << 2)) & (open | (open << 1) | (open >> 1)));
  }
}

function clearDepth(): void {
  for (let k: usize = 0; k < 4096; k += 16) v128.store(DEPTH + k, f32x4.splat(0));
}

/**
 * In units of its radii the body is a sphere at −p from the lamp and a sample lies at e: it is crossed where
 * e² − (p × e)² > 0, quadratic in the column, and the share of the way inside follows.
 */
function drawBody(b: usize): void {
  const rx = load<f32>(b, 48);
  const ry = load<f32>(b, 64);
  const rz = load<f32>(b, 80);
  const px = (param32(PARAM_LAMP) - load<f32>(b)) * rx;
  const py = (param32(PARAM_LAMP + 1) - load<f32>(b, 16)) * ry;
  const pz = (param32(PARAM_LAMP + 2) - load<f32>(b, 32)) * rz;
  const k = load<f32>(b, 96);
  const cell = param32(PARAM_GRID + 2);
  const ex = startX * rx;
  const ey = startY * ry;
  const ez = startZ * rz;
  const sx = cell * param32(3) * rx;
  const sy = cell * param32(4) * ry;
  const sz = cell * param32(5) * rz;
  const tx = cell * param32(6) * rx;
  const ty = cell * param32(7) * ry;
  const tz = cell * param32(8) * rz;
  const qsx = py * sz - pz * sy;
  const qsy = pz * sx - px * sz;
  const qsz = px * sy - py * sx;
  const a2 = sx * sx + sy * sy + sz * sz - (qsx * qsx + qsy * qsy + qsz * qsz);
  const cone = px * px + py * py + pz * pz > 1 && a2 < 0;
  const step = f32x4(0, 1, 2, 3);
  for (let j0 = 0; j0 < 32; j0 += 4) {
    if (!v128.any_true(v128.load(WANTED + ((<usize>j0) << 2)))) continue;
    const row = f32x4.add(f32x4.splat(<f32>j0), step);
    const rowX = f32x4.add(f32x4.splat(ex), f32x4.mul(row, f32x4.splat(tx)));
    const rowY = f32x4.add(f32x4.splat(ey), f32x4.mul(row, f32x4.splat(ty)));
    const rowZ = f32x4.add(f32x4.splat(ez), f32x4.mul(row, f32x4.splat(tz)));
    let bits = 15;
    if (cone) {
      const qx = f32x4.sub(f32x4.mul(f32x4.splat(py), rowZ), f32x4.mul(f32x4.splat(pz), rowY));
      const qy = f32x4.sub(f32x4.mul(f32x4.splat(pz), rowX), f32x4.mul(f32x4.splat(px), rowZ));
      const qz = f32x4.sub(f32x4.mul(f32x4.splat(px), rowY), f32x4.mul(f32x4.splat(py), rowX));
      const a1 = f32x4.sub(
        dot3(rowX, rowY, rowZ, f32x4.splat(sx), f32x4.splat(sy), f32x4.splat(sz)),
        dot3(qx, qy, qz, f32x4.splat(qsx), f32x4.splat(qsy), f32x4.splat(qsz)),
      );
      const a0 = f32x4.sub(dot3(rowX, rowY, rowZ, rowX, rowY, rowZ), dot3(qx, qy, qz, qx, qy, qz));
      const disc = f32x4.sub(f32x4.mul(a1, a1), f32x4.mul(f32x4.splat(a2), a0));
      bits = i32x4.bitmask(f32x4.gt(disc, f32x4.splat(0)));
      if (bits === 0) continue;
      const root = f32x4.sqrt(disc);
      const per = f32x4.splat(1 / a2);
      // A sample more on either side: the chord decides.
      const low = f32x4.sub(f32x4.mul(f32x4.sub(root, a1), per), f32x4.splat(1));
      const high = f32x4.add(f32x4.mul(f32x4.neg(f32x4.add(root, a1)), per), f32x4.splat(1));
      v128.store(WANTED + 128, i32x4.trunc_sat_f32x4_s(f32x4.pmax(f32x4.splat(0), low)));
      v128.store(WANTED + 144, i32x4.trunc_sat_f32x4_s(f32x4.pmin(f32x4.splat(31), high)));
    } else {
      v128.store(WANTED + 128, i32x4.splat(0));
      v128.store(WANTED + 144, i32x4.splat(31));
    }
    v128.store(WANTED + 160, rowX);
    v128.store(WANTED + 176, rowY);
    v128.store(WANTED + 192, rowZ);
    while (bits !== 0) {
      const r = (<usize>ctz(bits)) << 2;
      bits &= bits - 1;
      const low = load<i32>(WANTED + 128 + r);
      const high = load<i32>(WANTED + 144 + r);
      const wanted = load<u32>(WANTED + ((<usize>j0) << 2) + r);
      const rowAt = DEPTH + ((<usize>j0) << 7) + (r << 5);
      for (let i = low & ~3; i <= high; i += 4) {
        if (((wanted >> i) & 15) === 0) continue;
        const column = f32x4.add(f32x4.splat(<f32>i), step);
        const vx = f32x4.add(v128.load32_splat(WANTED + 160 + r), f32x4.mul(column, f32x4.splat(sx)));
        const vy = f32x4.add(v128.load32_splat(WANTED + 176 + r), f32x4.mul(column, f32x4.splat(sy)));
        const vz = f32x4.add(v128.load32_splat(WANTED + 192 + r), f32x4.mul(column, f32x4.splat(sz)));
        const share = chordShare(f32x4.splat(px), f32x4.splat(py), f32x4.splat(pz), vx, vy, vz, f32x4.splat(1));
        const at = rowAt + ((<usize>i) << 2);
        v128.store(at, f32x4.add(v128.load(at), f32x4.mul(f32x4.splat(k), share)));
      }
    }
  }
}

/** Shares of the way to metres, unwanted samples to 0; returns 1 when anything is left. */
function toMetres(): i32 {
  const cell = f32x4.splat(param32(PARAM_GRID + 2));
  const h2 = f32x4.splat(<f32>(lampH * lampH));
  let any = f32x4.splat(0);
  for (let j = 0; j < 32; j++) {
    const wanted = load<u32>(WANTED + ((<usize>j) << 2));
    const y = f32x4.add(f32x4.splat(y0), f32x4.mul(f32x4.splat(<f32>j), cell));
    const g = f32x4.add(f32x4.mul(y, y), h2);
    for (let i = 0; i < 32; i += 4) {
      const at = DEPTH + ((<usize>j) << 7) + ((<usize>i) << 2);
      const depth = v128.load(at);
      if (!v128.any_true(depth)) continue;
      const x = f32x4.add(f32x4.splat(x0), f32x4.mul(f32x4.add(f32x4.splat(<f32>i), f32x4(0, 1, 2, 3)), cell));
      const d = f32x4.sqrt(f32x4.add(f32x4.mul(x, x), g));
      const out = v128.and(f32x4.mul(depth, d), laneMask(<i32>((wanted >> i) & 15)));
      v128.store(at, out);
      any = v128.or(any, out);
    }
  }
  return v128.any_true(any) ? 1 : 0;
}
