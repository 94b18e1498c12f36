/**
 * Fixed places in the kernels' memory, bytes. Read by the page and by the kernels alike: plain numbers only. Each
 * instance has a memory of its own, so the scratch is never shared between threads.
 */

/** f64 × 64: what the next call works on (see `PARAM_…`). */
export const PARAMS = 1024;
/** u32 × 32 each: valid samples, hard shadow, shadow edges worth smoothing. Bit i of word j is sample (i, j). */
export const ROWS = 1536;
export const SHADOW = 1664;
export const EDGE_ROWS = 1792;
/** f32 × 8: highest lux in each quarter, then highest at shadow edges. */
export const MOST = 1920;
/** Shaft: up to 8 planes (nx, ny, nz, d) as f32. */
export const PLANES = 1952;
/** f32 × 1024 each: optical depth, lux, unshadowed lux. */
export const DEPTH = 2304;
export const LUX = 6400;
export const OPEN_LUX = 10496;
/** Shadow edges: i32 × 1024 sample and allowed rays (12 bits), f32 × 1024 share seen. */
export const EDGE_AT = 14592;
export const EDGE_ALLOWED = 18688;
export const EDGE_SEEN = 22784;
/** f32 × 48: twelve texel places a, twelve b, then lens places x and y. */
export const JITTER = 26880;
/** i32 × 1024 codes and f32 × 1024 distances of nodes still to visit. */
export const STACK = 27136;
export const STACK_T = 31232;
/** Row forms of four triangles: 4 forms × (base, lift, −1/slope, low or high end). */
export const FORMS = 35328;
/** Triangles between a group and a lamp (64 bytes each) and leaf bodies (32 bytes each). */
export const GROUP_TRIANGLES = 36864;
export const MOST_GROUP_TRIANGLES = 512;
export const GROUP_BODIES = 69632;
export const MOST_GROUP_BODIES = 768;
/** Where the scene's own data begin. */
export const HEAP = 98304;

/** Slots of `PARAMS`: face frame (origin, u, v, normal). */
export const PARAM_FRAME = 0;
/** Lamp, world axes. */
export const PARAM_LAMP = 12;
/** sMin, sMax, tMin, tMax of the valid samples. */
export const PARAM_RECT = 15;
/** s0, t0 of the tile and the cell, metres. */
export const PARAM_GRID = 19;
/** Axis, right and up of the fixture. */
export const PARAM_FIXTURE = 22;
/** Lens radius, metres. */
export const PARAM_LENS = 31;
/** Beam: planes, steps, address of its candela. */
export const PARAM_BEAM = 32;
/** Group: centre and radius. */
export const PARAM_GROUP = 35;
/** Lux below which a layer or a point is left out, and lux from which edges are smoothed. */
export const PARAM_CUT = 39;
export const PARAM_EDGE_FROM = 40;

/** Bytes of a tree node: min x, max x, min y, max y, min z, max z of four children, then their codes. */
export const NODE_BYTES = 112;
/** Code of an empty child. A leaf is ~(block << 3 | blocks − 1); anything else is the index of a node. */
export const EMPTY_CHILD = 0x7fffffff;
/** Bytes of a block of four triangles: ax, ay, az, bx, by, bz, cx, cy, cz. */
export const TRIANGLE_BLOCK_BYTES = 144;
/** Bytes of a block of four leaf bodies: centre x, y, z, 1/radius x, y, z, extinction. */
export const BODY_BLOCK_BYTES = 112;
