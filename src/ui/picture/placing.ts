import {
  createLight,
  findWall,
  nearestWall,
  piersOf,
  placeFromWall,
  placeRefusal,
  snapAlong,
  snapSetBack,
  wallLengthM,
  wallPlaceOf,
} from '../../editor/index.ts';
import { type FixtureRecord, groundHeightAt, type Mount, type PropertyDocument, type Vec3 } from '../../scene/index.ts';
import type { Pick } from './pick.ts';
import { along } from './vec.ts';

export interface Stand {
  at: Vec3;
  mount: Mount;
  /** What caught the hand: "set-back 0.38 m (15 in), mid-pier". */
  snaps: string;
  /** Aim when the hand lets go without a drag. */
  aim: Vec3;
}

/** A stand, or the reason why no light may stand there. */
export type StandAnswer = { ok: true; stand: Stand } | { ok: false; reason: string };

const PAVED = new Set(['path', 'drive', 'paving', 'road', 'pavement', 'gravel']);
/** Lens above soil for a staked light; in-grade lenses lie level with the ground. */
const STAKE_LENS_M = 0.15;
const IN_GRADE_LENS_M = 0.0;
/** Bracket length: a wall or trunk light hangs this far off its host. */
const BRACKET_M = 0.1;

/** Host decides the mount. Water, glass, roof covering and a neighbour's ground refuse and say why. */
export function standOn(document: PropertyDocument, picked: Pick, snapRadiusM: number): StandAnswer {
  const refusal = placeRefusal(document, picked.at);
  if (refusal !== undefined) return { ok: false, reason: refusal };
  switch (picked.kind) {
    case 'pane':
      return { ok: false, reason: 'On glass: a light cannot be fixed to a window. Press the wall or the ground beside it.' };
    case 'roof':
      return {
        ok: false,
        reason: 'On the roof covering: no screws into shingles or slates. Press the ground, a wall or the gutter edge.',
      };
    case 'water':
      return { ok: false, reason: 'In the water: lights in water are not part of this program. Press beside it.' };
    case 'ground':
    case 'kerb':
      return { ok: true, stand: onGround(document, picked, snapRadiusM) };
    case 'leaves':
      return { ok: true, stand: hung(picked, 'tree', along(picked.at, [0, -1, 0], 3)) };
    case 'soffit':
    case 'hood':
      return { ok: true, stand: hung(picked, 'soffit', along(picked.at, [0, -1, 0], 2.4)) };
    case 'riser':
    case 'tread':
    case 'stepSide':
      return { ok: true, stand: hung(picked, 'step', along(along(picked.at, picked.normal, 0.6), [0, -1, 0], 0.2)) };
    case 'tub':
      return { ok: true, stand: hung(picked, 'pot', along(picked.at, [0, 1, 0], 2)) };
    case 'column':
      return { ok: true, stand: hung(picked, 'post', along(picked.at, [0, 1, 0], 2)) };
    case 'wallTop':
      return { ok: true, stand: hung(picked, 'cap', along(picked.at, [0, 1, 0], 2)) };
    default:
      return { ok: true, stand: hung(picked, 'wall', along(along(picked.at, picked.normal, 0.3), [0, -1, 0], 1.5)) };
  }
}

function hung(picked: Pick, mount: Mount, aim: Vec3): Stand {
  return { at: along(picked.at, picked.normal, mount === 'step' ? 0.01 : BRACKET_M), mount, snaps: '', aim };
}

function onGround(document: PropertyDocument, picked: Pick, radiusM: number): Stand {
  const mount: Mount = picked.use !== undefined && PAVED.has(picked.use) ? 'inGrade' : 'stake';
  const heightM = mount === 'inGrade' ? IN_GRADE_LENS_M : STAKE_LENS_M;
  const [x, , z] = picked.at;
  const at: Vec3 = [x, groundHeightAt(document, x, z) + heightM, z];
  const snapped = snapToWall(document, at, heightM, radiusM);
  return { at: snapped.at, mount, snaps: snapped.snaps, aim: hostAim(document, snapped.at) };
}

/** A light at a place, only to read that place against a wall. */
function probeAt(document: PropertyDocument, at: Vec3): FixtureRecord {
  return createLight(document, document.schemes[0]?.id ?? '', at, [at[0], at[1] + 1, at[2]]);
}

/** Catches the usual set-backs and the middle of a pier, by name. */
export function snapToWall(document: PropertyDocument, at: Vec3, heightM: number, radiusM: number): { at: Vec3; snaps: string } {
  const wall = nearestWall(document, at);
  const place = wall && wallPlaceOf(document, probeAt(document, at), wall.id);
  if (!wall || !place || place.setBackM > 1.5 || place.alongM < -0.5 || place.alongM > wallLengthM(wall) + 0.5)
    return { at, snaps: '' };
  const back = snapSetBack(place.setBackM, radiusM);
  const side = snapAlong(wall, place.alongM, radiusM);
  const snaps = [back?.name, side?.name].filter(Boolean).join(', ');
  if (snaps === '') return { at, snaps };
  const next = placeFromWall(document, {
    wallId: wall.id,
    setBackM: back?.valueM ?? place.setBackM,
    alongM: side?.valueM ?? place.alongM,
    heightM,
    side: place.side,
  });
  return { at: next, snaps };
}

/** A press without a drag: the top of the wall near by, two thirds up a crown, else straight up. */
export function hostAim(document: PropertyDocument, at: Vec3): Vec3 {
  const wall = nearestWall(document, at);
  const place = wall && wallPlaceOf(document, probeAt(document, at), wall.id);
  for (const plant of document.planting) {
    if (plant.kind !== 'plant') continue;
    const gap = Math.hypot(at[0] - plant.at[0], at[2] - plant.at[1]);
    if (gap < plant.spreadM / 2 + 1 && (!place || gap < place.setBackM)) {
      return [plant.at[0], plant.baseM + plant.crownBaseM + ((plant.heightM - plant.crownBaseM) * 2) / 3, plant.at[1]];
    }
  }
  if (wall && place && place.setBackM < 3) {
    const alongM = Math.max(0, Math.min(wallLengthM(wall), place.alongM));
    const foot = placeFromWall(document, { wallId: wall.id, setBackM: 0, alongM, heightM: 0, side: place.side });
    return [foot[0], wall.baseM + wall.heightM, foot[2]];
  }
  return [at[0], at[1] + 2, at[2]];
}

export interface Host {
  id: string;
  name: string;
  wallId: string;
  alongM: number;
  topM: number;
}

/** Hosts a light can be put before by keys: every pier of every wall. */
export function hostsOf(document: PropertyDocument): Host[] {
  const walls = document.buildings.flatMap((b) => b.parts.filter((p) => p.kind === 'wall'));
  return walls.flatMap((wall) =>
    piersOf(wall).map((pier, i) => ({
      id: `${wall.id}/${i}`,
      name: `${wall.name || wall.id}: ${pier.name}`,
      wallId: wall.id,
      alongM: pier.midM,
      topM: wall.heightM,
    })),
  );
}

/** Place and aim before a host at a set-back, aimed at a height above the wall's base. */
export function placeAtHost(
  document: PropertyDocument,
  host: Host,
  setBackM: number,
  aimHeightM: number,
): { at: Vec3; aim: Vec3 } {
  const at = placeFromWall(document, { wallId: host.wallId, setBackM, alongM: host.alongM, heightM: IN_GRADE_LENS_M });
  const foot = placeFromWall(document, { wallId: host.wallId, setBackM: 0, alongM: host.alongM, heightM: 0 });
  const base = findWall(document, host.wallId)?.baseM ?? foot[1];
  return { at, aim: [foot[0], base + aimHeightM, foot[2]] };
}
