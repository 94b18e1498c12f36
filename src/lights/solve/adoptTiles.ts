import { childNodes, nodeAt, rootNodes, type TileNode } from '../tiles/node.ts';
import { growAtlas, passSlot, takeSlot } from './atlas.ts';
import { forgetTile, forgetTree, leavesOf } from './kept.ts';
import { type FaceChange, type Rect, type SceneChange, sameNumbers } from './sceneChange.ts';
import type { SolverState } from './state.ts';
import { sweptOver } from './sweep.ts';

/** A cover changes how fine the samples round it may become as far as this, metres. */
const COVER_REACH_M = 0.5;

/**
 * Brings the trees of all faces to a new massing; squares that stay where they are keep their objects.
 * @returns slots of tiles that stand where no tile stood.
 */
export function graftTiles(state: SolverState, change: SceneChange): number[] {
  const before = state.rootsOfFace;
  if (state.leaves.length === 0) for (const nodes of before.values()) nodes.length = 0;
  const graft: Graft = { state, bodies: change.bodies, claims: [] };
  const faces = state.scene.faces;
  for (const [old, nodes] of before) {
    const now = change.newOfOld[old] ?? -1;
    if (now < 0 || !faces[now]!.sampled) for (const node of nodes) forgetTree(state, node);
  }
  state.rootsOfFace = new Map();
  state.roots = [];
  faces.forEach((face, index) => {
    if (!face.sampled) return;
    const nodes = bringFace(graft, index, change.faces[index]!, before.get(change.faces[index]!.old));
    state.rootsOfFace.set(index, nodes);
    state.roots.push(...nodes);
  });
  if (state.leaves.length === 0) {
    if (state.roots.length > state.atlas.capacity) growAtlas(state.atlas, state.roots.length - state.atlas.capacity);
    return [];
  }
  const missing = graft.claims.length - state.atlas.free.length;
  if (missing > 0) growAtlas(state.atlas, missing);
  for (const node of graft.claims) {
    takeSlot(state.atlas, node);
    state.stale.tiles.add(node);
  }
  state.leaves = leavesOf(state.roots);
  // Other materials may have joints that these had not.
  for (const node of state.leaves) state.atlas.relit.add(node);
  state.treeVersion++;
  state.tilesChanged = true;
  return graft.claims.map((node) => node.ref.slot);
}

interface Graft {
  state: SolverState;
  bodies: Float64Array;
  /** New leaves that have no slot yet. */
  claims: TileNode[];
}

function bringFace(graft: Graft, index: number, change: FaceChange, before: TileNode[] | undefined): TileNode[] {
  const { scene } = graft.state;
  if (!before || change.kind === 'remade') {
    const old = new Map(before?.map((n) => [placeOf(n), n]));
    const nodes = rootNodes(scene, index);
    for (const node of nodes) {
      regrow(graft, node, old.get(placeOf(node)));
      old.delete(placeOf(node));
    }
    for (const node of old.values()) forgetTree(graft.state, node);
    return nodes;
  }
  return before.flatMap((node) => review(graft, node, index, change.rects) ?? []);
}

const placeOf = (node: TileNode): string => `${node.ref.level}/${node.i}/${node.j}`;

/** Gives a new square the tree and the slots that the old one of its place had. */
function regrow(graft: Graft, node: TileNode, old: TileNode | undefined): void {
  if (!old?.children) {
    replace(graft, old, node);
    return;
  }
  const kids = new Map(old.children.map((n) => [placeOf(n), n]));
  node.children = childNodes(graft.state.scene, node);
  for (const child of node.children) {
    regrow(graft, child, kids.get(placeOf(child)));
    kids.delete(placeOf(child));
  }
  for (const child of kids.values()) forgetTree(graft.state, child);
  if (node.children.length > 0) return;
  node.children = undefined;
  graft.claims.push(node);
}

function replace(graft: Graft, old: TileNode | undefined, node: TileNode): void {
  const { state } = graft;
  if (!old || old.ref.slot < 0) {
    if (state.leaves.length > 0) graft.claims.push(node);
    return;
  }
  forgetLayers(state, old);
  passSlot(state.atlas, old, node);
  state.stale.tiles.add(node);
}

/** Keeps a square of a face that stayed in place, unless what covers or hides its samples changed. */
function review(graft: Graft, node: TileNode, face: number, rects: readonly Rect[]): TileNode | undefined {
  node.ref.face = face;
  const hidden = sweptOver(graft.bodies, node, 0.01);
  if (!hidden && !rects.some((r) => meets(node, r, COVER_REACH_M))) {
    renumber(node, face);
    return node;
  }
  const fresh = nodeAt(graft.state.scene, face, node.frame, node.ref.level, node.i, node.j);
  const children = node.children?.flatMap((child) => review(graft, child, face, rects) ?? []);
  if (!fresh) {
    forgetTree(graft.state, node);
    return undefined;
  }
  const touched = hidden || rects.some((r) => meets(node, r, 0));
  if (!touched && fresh.nearCover === node.nearCover && sameNumbers(fresh.rows, node.rows)) {
    if (children) node.children = children;
    return node;
  }
  if (children) {
    fresh.children = children;
    forgetTile(graft.state, node);
  } else replace(graft, node, fresh);
  return fresh;
}

function renumber(node: TileNode, face: number): void {
  node.ref.face = face;
  if (node.children) for (const child of node.children) renumber(child, face);
}

/** Does a rectangle come within `room` of a tile's square, border included? */
function meets(node: TileNode, r: Rect, room: number): boolean {
  const { s0M, t0M, cellM } = node.ref;
  const reach = room + cellM;
  const side = cellM * 30;
  return r.s0 < s0M + side + reach && r.s1 > s0M - reach && r.t0 < t0M + side + reach && r.t1 > t0M - reach;
}

function forgetLayers(state: SolverState, node: TileNode): void {
  for (const lit of state.lits.values()) lit.layers.delete(node);
  state.stale.tiles.delete(node);
  state.stale.trees.delete(node);
  forgetTile(state, node);
}
