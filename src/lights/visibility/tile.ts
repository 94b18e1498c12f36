import type { ConvexBlock } from '../../scene/index.ts';
import { seeTile } from '../kernels/index.ts';
import { type Caster, chordM } from '../rays/index.ts';
import type { TileNode } from '../tiles/node.ts';
import { TILE_SAMPLES } from '../types.ts';
import { rasterShadow, rasterSphereDepth, type TileView } from './raster.ts';
import { aimShaft, collect, createShaft } from './shaft.ts';

/** What one place sees of one tile; independent of lamp, beam, aim and leaves being on. */
export interface TileVisibility {
  state: 'dark' | 'lit' | 'partial';
  /** Bit i of row j set: hard shadow. Absent unless partial. */
  shadow: Uint32Array | undefined;
  /** Optical depth of the leaves on the way, per sample; absent where none are. */
  depth: Float32Array | undefined;
  /** Samples at shadow edges with the share of texel and lens that is seen; absent before the edge stage. */
  edges: { at: Uint16Array; seen: Float32Array } | undefined;
}

const DARK: TileVisibility = { state: 'dark', shadow: undefined, depth: undefined, edges: undefined };
const LIT: TileVisibility = { state: 'lit', shadow: undefined, depth: undefined, edges: undefined };

const shaft = createShaft();
const found = { items: new Int32Array(4096) };
const rows = new Uint32Array(TILE_SAMPLES);
const open = new Uint32Array(TILE_SAMPLES);
const view: TileView = { x0: 0, y0: 0, cellM: 0, h: 0, rowFrom: 0, rowTo: 0 };

/** Lamp in the coordinates of a face: s, t of its foot and height; 3 numbers. */
export function toFace(f: Float64Array, x: number, y: number, z: number, out: Float64Array): void {
  const dx = x - f[0]!;
  const dy = y - f[1]!;
  const dz = z - f[2]!;
  out[0] = dx * f[3]! + dy * f[4]! + dz * f[5]!;
  out[1] = dx * f[6]! + dy * f[7]! + dz * f[8]!;
  out[2] = dx * f[9]! + dy * f[10]! + dz * f[11]!;
}

/**
 * Hard shadows and leaves between a lamp and all samples of a tile: the shaft picks the few triangles that can matter,
 * their shadows are drawn exactly at the sample points, and the chords through leaf spheres are summed.
 *
 * @param local lamp in face coordinates (`toFace`); its height must be above 0.
 * @param world lamp in world axes.
 */
export function tileVisibility(
  caster: Caster,
  big: readonly ConvexBlock[],
  node: TileNode,
  local: ArrayLike<number>,
  world: ArrayLike<number>,
): TileVisibility {
  if (caster.kernels) {
    const { open: lit, shadow, depth } = seeTile(caster.kernels, big, node, world);
    if (!lit) return DARK;
    return shadow || depth ? { state: shadow ? 'partial' : 'lit', shadow, depth, edges: undefined } : LIT;
  }
  return referenceVisibility(caster, big, node, local, world);
}

function referenceVisibility(
  caster: Caster,
  big: readonly ConvexBlock[],
  node: TileNode,
  local: ArrayLike<number>,
  world: ArrayLike<number>,
): TileVisibility {
  const f = node.frame;
  if (hiddenByBlock(big, node, world)) return DARK;
  setView(node, local);
  aimShaft(shaft, f, node.sMin, node.sMax, node.tMin, node.tMax, local[0]!, local[1]!, local[2]!);
  rows.fill(0);
  const triangles = collect(caster.triangles.tree, shaft, found);
  const soup = caster.scene.occluders.positionsM;
  let since = 0;
  for (let n = 0; n < triangles; n++) {
    drawTriangle(soup, caster.triangles.source[found.items[n]!]! * 9, f, local);
    if (++since === 48) {
      since = 0;
      if (allShadow(node.rows)) return DARK;
    }
  }
  let any = false;
  let every = true;
  for (let j = 0; j < TILE_SAMPLES; j++) {
    open[j] = node.rows[j]! & ~rows[j]!;
    if ((node.rows[j]! & rows[j]!) !== 0) any = true;
    if (open[j] !== 0) every = false;
  }
  if (every) return DARK;
  if (any) widenOpen(node);
  const depth = leafDepths(caster, node, world);
  if (!any && !depth) return LIT;
  return { state: any ? 'partial' : 'lit', shadow: any ? rows.slice() : undefined, depth, edges: undefined };
}

/** Shadow edges want their leaves too: open samples and their valid neighbours. */
function widenOpen(node: TileNode): void {
  let above = 0;
  for (let j = 0; j < TILE_SAMPLES; j++) {
    const here = open[j]!;
    const three = above | here | (open[j + 1] ?? 0);
    above = here;
    open[j] = node.rows[j]! & (three | (three << 1) | (three >>> 1));
  }
}

function setView(node: TileNode, local: ArrayLike<number>): void {
  const { s0M, t0M, cellM } = node.ref;
  view.x0 = s0M - 0.5 * cellM - local[0]!;
  view.y0 = t0M - 0.5 * cellM - local[1]!;
  view.cellM = cellM;
  view.h = local[2]!;
  view.rowFrom = 0;
  view.rowTo = TILE_SAMPLES - 1;
  while (view.rowFrom < 31 && node.rows[view.rowFrom] === 0) view.rowFrom++;
  while (view.rowTo > 0 && node.rows[view.rowTo] === 0) view.rowTo--;
}

/** Corners come straight from the soup, so that a corner two triangles share is bit for bit the same in both. */
function drawTriangle(c: Float32Array, at: number, f: Float64Array, local: ArrayLike<number>): void {
  const h = local[2]!;
  const x = c[at]! - f[0]!;
  const y = c[at + 1]! - f[1]!;
  const z = c[at + 2]! - f[2]!;
  const x1 = c[at + 3]! - f[0]!;
  const y1 = c[at + 4]! - f[1]!;
  const z1 = c[at + 5]! - f[2]!;
  const x2 = c[at + 6]! - f[0]!;
  const y2 = c[at + 7]! - f[1]!;
  const z2 = c[at + 8]! - f[2]!;
  const az = x * f[9]! + y * f[10]! + z * f[11]!;
  const bz = x1 * f[9]! + y1 * f[10]! + z1 * f[11]!;
  const cz = x2 * f[9]! + y2 * f[10]! + z2 * f[11]!;
  if ((az <= 1e-4 && bz <= 1e-4 && cz <= 1e-4) || (az >= h && bz >= h && cz >= h)) return;
  const ls = local[0]!;
  const lt = local[1]!;
  rasterShadow(
    view,
    rows,
    x * f[3]! + y * f[4]! + z * f[5]! - ls,
    x * f[6]! + y * f[7]! + z * f[8]! - lt,
    az - h,
    x1 * f[3]! + y1 * f[4]! + z1 * f[5]! - ls,
    x1 * f[6]! + y1 * f[7]! + z1 * f[8]! - lt,
    bz - h,
    x2 * f[3]! + y2 * f[4]! + z2 * f[5]! - ls,
    x2 * f[6]! + y2 * f[7]! + z2 * f[8]! - lt,
    cz - h,
  );
}

function allShadow(valid: Uint32Array): boolean {
  for (let j = 0; j < TILE_SAMPLES; j++) if ((valid[j]! & ~rows[j]!) !== 0) return false;
  return true;
}

/** One convex body between the lamp and all four corners hides the whole tile. */
function hiddenByBlock(big: readonly ConvexBlock[], node: TileNode, world: ArrayLike<number>): boolean {
  for (const block of big) if (blockHides(block, node, world)) return true;
  return false;
}

function blockHides(block: ConvexBlock, node: TileNode, world: ArrayLike<number>): boolean {
  const f = node.frame;
  for (let c = 0; c < 4; c++) {
    const s = (c & 1) === 0 ? node.sMin : node.sMax;
    const t = c >> 1 === 0 ? node.tMin : node.tMax;
    const px = f[0]! + s * f[3]! + t * f[6]!;
    const py = f[1]! + s * f[4]! + t * f[7]!;
    const pz = f[2]! + s * f[5]! + t * f[8]!;
    const dx = world[0]! - px;
    const dy = world[1]! - py;
    const dz = world[2]! - pz;
    let from = 0;
    let to = 1;
    for (let i = 0; i < block.planes.length; i += 4) {
      const nx = block.planes[i]!;
      const ny = block.planes[i + 1]!;
      const nz = block.planes[i + 2]!;
      const gap = nx * px + ny * py + nz * pz - block.planes[i + 3]!;
      const run = nx * dx + ny * dy + nz * dz;
      if (run > 0) to = Math.min(to, -gap / run);
      else if (run < 0) from = Math.max(from, -gap / run);
      else if (gap > 0) return false;
      if (from >= to) return false;
    }
    // A segment that only touches the body at its end is not hidden by it.
    if ((to - from) * Math.sqrt(dx * dx + dy * dy + dz * dz) < 2e-3) return false;
  }
  return true;
}

function leafDepths(caster: Caster, node: TileNode, world: ArrayLike<number>): Float32Array | undefined {
  const { leaves } = caster;
  if (leaves.count === 0) return undefined;
  const n = collect(leaves.tree, shaft, found);
  if (n === 0) return undefined;
  const depth = new Float32Array(TILE_SAMPLES * TILE_SAMPLES);
  const f = node.frame;
  const d = leaves.data;
  let touched = false;
  for (let k = 0; k < n; k++) {
    const at = leaves.tree.order[found.items[k]!]! * 7;
    if (d[at + 3] !== d[at + 4] || d[at + 3] !== d[at + 5]) {
      if (ellipsoidDepth(d, at, node, world, depth)) touched = true;
      continue;
    }
    const x = d[at]! - world[0]!;
    const y = d[at + 1]! - world[1]!;
    const z = d[at + 2]! - world[2]!;
    const hit = rasterSphereDepth(
      view,
      open,
      depth,
      x * f[3]! + y * f[4]! + z * f[5]!,
      x * f[6]! + y * f[7]! + z * f[8]!,
      x * f[9]! + y * f[10]! + z * f[11]!,
      d[at + 3]!,
      d[at + 6]!,
    );
    if (hit) touched = true;
  }
  return touched ? depth : undefined;
}

function ellipsoidDepth(d: Float64Array, at: number, node: TileNode, world: ArrayLike<number>, depth: Float32Array): boolean {
  const f = node.frame;
  const { s0M, t0M, cellM } = node.ref;
  const [lx, ly, lz] = [world[0]!, world[1]!, world[2]!];
  let touched = false;
  for (let k = 0; k < TILE_SAMPLES * TILE_SAMPLES; k++) {
    if (((open[k >> 5]! >>> (k & 31)) & 1) === 0) continue;
    const s = s0M + ((k & 31) - 0.5) * cellM;
    const t = t0M + ((k >> 5) - 0.5) * cellM;
    const dx = f[0]! + s * f[3]! + t * f[6]! - lx;
    const dy = f[1]! + s * f[4]! + t * f[7]! - ly;
    const dz = f[2]! + s * f[5]! + t * f[8]! - lz;
    const chord = chordM(d, at, lx, ly, lz, dx, dy, dz, 0, 1);
    if (chord > 0) {
      depth[k]! += d[at + 6]! * chord;
      touched = true;
    }
  }
  return touched;
}
