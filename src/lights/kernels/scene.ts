import type { ConvexBlock, TriangleSoup } from '../../scene/index.ts';
import type { LeafBodies } from '../rays/leaves.ts';
import type { TriangleTree } from '../rays/triangles.ts';
import { type BeamTables, createBeamTables } from './beams.ts';
import { createGroupTables, type GroupTables } from './groups.ts';
import { JITTER } from '../visibility/jitter.ts';
import { setJitter } from './edges.ts';
import { instantiateKernels, type KernelMemory } from './instance.ts';
import { packBodies, packTriangles, widenTree } from './trees.ts';

/** Kernels with one scene in their memory. Not re-entrant; one per thread. */
export interface SceneKernels extends KernelMemory {
  /** Place in the triangle tree's order of each lane of each block, −1 where empty. */
  trianglePlaces: Int32Array;
  beams: BeamTables;
  /** Room for a batch of rays and their answers, made when first asked for. */
  batchAt: number;
  groups: GroupTables;
  /** Bodies that `setSolids` was last told of. */
  solidsOf: readonly ConvexBlock[] | undefined;
}

/** Puts a scene's trees into a fresh instance; undefined where kernels cannot run. */
export function createSceneKernels(triangles: TriangleTree, soup: TriangleSoup, leaves: LeafBodies): SceneKernels | undefined {
  const memory = instantiateKernels();
  if (!memory) return undefined;
  const triangleTree = widenTree(triangles.tree);
  const bodyTree = widenTree(leaves.tree);
  const triangleNodes = put(memory, new Float32Array(triangleTree.nodes));
  const triangleBlocks = put(memory, packTriangles(triangleTree, triangles.source, soup.positionsM));
  const bodyNodes = put(memory, new Float32Array(bodyTree.nodes));
  const bodyBlocks = put(memory, packBodies(bodyTree, leaves.tree.order, leaves.data));
  setJitter(memory, JITTER);
  memory.calls.setTrees(triangleNodes, triangleBlocks, bodyNodes, bodyBlocks, leaves.count);
  return Object.assign(memory, {
    trianglePlaces: triangleTree.places,
    beams: createBeamTables(memory),
    batchAt: 0,
    groups: createGroupTables(),
    solidsOf: undefined,
  });
}

/** Copies numbers, bit for bit, into memory kept for good; returns their address. */
export function put(memory: KernelMemory, values: Float32Array): number {
  const at = memory.take(values.byteLength);
  // Through integers: codes of nodes are no floats.
  memory.i32.set(new Int32Array(values.buffer, values.byteOffset, values.length), at / 4);
  return at;
}
