import type { OpeningRecord, Vec2 } from '../records/index.ts';
import type { SceneBuilder } from './builder.ts';
import { rectLoop, UP } from './vec.ts';
import { buildTrim, type WallFrame } from './wallFrame.ts';

/** Opening in the frame of its wall, cut to the wall. */
export interface Hole {
  record: OpeningRecord;
  s0: number;
  t0: number;
  s1: number;
  t1: number;
}

const FRAME_BORDER_M = 0.05;
const GLAZING_BAR_M = 0.022;
/** The frame stands this far in front of the glass. */
const FRAME_PROUD_M = 0.015;
const SILL_HORN_M = 0.05;
const LINTEL_BEARING_M = 0.1;
/** Thresholds lie this far above the ground they would else coincide with. */
const THRESHOLD_M = 0.01;

export function findHoles(f: WallFrame): Hole[] {
  const holes: Hole[] = [];
  for (const record of f.wall.openings) {
    const s0 = Math.max(0, record.alongM - record.widthM / 2);
    const s1 = Math.min(f.lengthM, record.alongM + record.widthM / 2);
    const t0 = Math.max(0, record.sillM);
    const t1 = Math.min(f.wall.heightM, record.sillM + record.heightM);
    if (s1 - s0 > 1e-3 && t1 - t0 > 1e-3) holes.push({ record, s0, t0, s1, t1 });
  }
  return holes;
}

/** Reveals, pane or leaf, sill and lintel of one opening. `depthM`: how deep the reveals run. */
export function buildOpening(b: SceneBuilder, f: WallFrame, hole: Hole, depthM: number): void {
  const { record, s0, t0, s1, t1 } = hole;
  const id = `${f.wall.id}/${record.id}`;
  const name = record.name || record.id;
  if (depthM > 0) buildReveals(b, f, hole, id, name, depthM);
  if (record.kind === 'window') buildWindow(b, f, hole, id, name);
  else buildLeaf(b, f, hole, id, name);
  const trim = { id: '', frontId: '', name: '', material: record.trimMaterial };
  if (record.kind === 'window' && record.sillProjectionM > 0 && record.sillHeightM > 0 && t0 > 0) {
    buildTrim(b, f, {
      ...trim,
      id: `${id}/sill`,
      frontId: `${id}/sill`,
      name: `${name}, sill`,
      kind: 'sill',
      s0: Math.max(0, s0 - SILL_HORN_M),
      s1: Math.min(f.lengthM, s1 + SILL_HORN_M),
      t0: Math.max(0, t0 - record.sillHeightM),
      t1: t0,
      projectionM: record.sillProjectionM,
    });
  }
  if (record.lintelHeightM > 0 && record.lintelProjectionM > 0 && t1 < f.wall.heightM) {
    buildTrim(b, f, {
      ...trim,
      id: `${id}/lintel`,
      frontId: `${id}/lintel`,
      name: `${name}, lintel`,
      kind: 'lintel',
      s0: Math.max(0, s0 - LINTEL_BEARING_M),
      s1: Math.min(f.lengthM, s1 + LINTEL_BEARING_M),
      t0: t1,
      t1: Math.min(f.wall.heightM, t1 + record.lintelHeightM),
      projectionM: record.lintelProjectionM,
    });
  }
}

function buildReveals(b: SceneBuilder, f: WallFrame, hole: Hole, id: string, name: string, depthM: number): void {
  const { s0, t0, s1, t1 } = hole;
  const { normal, inward, u } = f;
  const common = { partId: f.wall.id, kind: 'reveal' as const, material: f.wall.material, neighbourId: `${f.wall.id}/outer` };
  const foot = t0 > 0 ? t0 : Math.min(THRESHOLD_M, t1);
  b.face({
    ...common,
    id: `${id}/revealLeft`,
    name: `${name}, left reveal`,
    origin: f.at(s0, t0),
    u: inward,
    v: UP,
    size: [depthM, t1 - t0],
  });
  b.face({
    ...common,
    id: `${id}/revealRight`,
    name: `${name}, right reveal`,
    origin: f.at(s1, t0, depthM),
    u: normal,
    v: UP,
    size: [depthM, t1 - t0],
  });
  b.face({
    ...common,
    id: `${id}/revealHead`,
    name: `${name}, head`,
    origin: f.at(s0, t1, depthM),
    u,
    v: normal,
    size: [s1 - s0, depthM],
  });
  b.face({
    ...common,
    id: `${id}/revealFoot`,
    name: `${name}, foot`,
    origin: f.at(s0, foot),
    u,
    v: inward,
    size: [s1 - s0, depthM],
  });
  if (foot > t0)
    b.face({
      ...common,
      id: `${id}/threshold`,
      name: `${name}, threshold`,
      origin: f.at(s0, t0),
      u,
      v: UP,
      size: [s1 - s0, foot - t0],
      neighbourId: `${id}/revealFoot`,
    });
}

function buildWindow(b: SceneBuilder, f: WallFrame, hole: Hole, id: string, name: string): void {
  const { record, s0, t0, s1, t1 } = hole;
  const depthM = record.revealM;
  const widthM = s1 - s0;
  const heightM = t1 - t0;
  b.panes.push({
    id,
    origin: f.at(s0, t0, depthM),
    u: f.u,
    v: UP,
    normal: f.normal,
    widthM,
    heightM,
    panesAcross: record.panesAcross,
    panesUp: record.panesUp,
    litCdM2: record.litCdM2,
    litCctK: record.litCctK,
    frameMaterial: b.material(record.frameMaterial),
  });
  b.occluderRing(id, [f.at(s0, t0, depthM), f.at(s1, t0, depthM), f.at(s1, t1, depthM), f.at(s0, t1, depthM)]);
  b.face({
    id: `${id}/frame`,
    partId: f.wall.id,
    name: `${name}, frame`,
    kind: 'frame',
    origin: f.at(s0, t0, depthM - FRAME_PROUD_M),
    u: f.u,
    v: UP,
    loops: [rectLoop(0, 0, widthM, heightM), ...glassLoops(widthM, heightM, record.panesAcross, record.panesUp)],
    material: record.frameMaterial,
  });
}

/** The clear glass between frame and bars. */
function glassLoops(widthM: number, heightM: number, across: number, up: number): Vec2[][] {
  const border = Math.min(FRAME_BORDER_M, widthM / 4, heightM / 4);
  const w = (widthM - 2 * border - (across - 1) * GLAZING_BAR_M) / across;
  const h = (heightM - 2 * border - (up - 1) * GLAZING_BAR_M) / up;
  const loops: Vec2[][] = [];
  if (w <= 0 || h <= 0) return loops;
  for (let j = 0; j < up; j++) {
    for (let i = 0; i < across; i++) {
      const s = border + i * (w + GLAZING_BAR_M);
      const t = border + j * (h + GLAZING_BAR_M);
      loops.push(rectLoop(s, t, s + w, t + h));
    }
  }
  return loops;
}

/** Door leaf, or the back of a blank recess. */
function buildLeaf(b: SceneBuilder, f: WallFrame, hole: Hole, id: string, name: string): void {
  const { record, s0, t0, s1, t1 } = hole;
  const isDoor = record.kind === 'door';
  b.face({
    id: isDoor ? `${id}/leaf` : `${id}/back`,
    partId: f.wall.id,
    name: isDoor ? `${name}, leaf` : `${name}, back`,
    kind: isDoor ? 'door' : 'wall',
    origin: f.at(s0, t0, record.revealM),
    u: f.u,
    v: UP,
    size: [s1 - s0, t1 - t0],
    material: isDoor ? record.leafMaterial : f.wall.material,
  });
}
