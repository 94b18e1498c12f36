import type { PlantModel, Strand } from '../massing/types.ts';
import type { PlantRecord, Season, Vec3 } from '../records/index.ts';
import { growClimber } from './climber.ts';
import { coniferVolumeM3, growConifer } from './conifer.ts';
import { foliageOf, LEAF_SHARE } from './foliage.ts';
import { growGrass } from './grass.ts';
import { dressPlant, fillMasses, type LeafMass, toneOf } from './leaves.ts';
import { growPalm } from './palm.ts';
import { createPlacing, fitMasses, placeLimbs } from './placing.ts';
import { createDice, type Dice, mixSeed } from './random.ts';
import { type Bush, growBall, growHedge, growShrub, growStems } from './shrub.ts';
import type { Skeleton } from './skeleton.ts';
import { along } from './vectors.ts';
import { hangStrings, layCrown, profileVolumeM3, TREE_HABITS, type TreeHabit } from './tree.ts';
import { growTreeWood, toLimbs } from './treeWood.ts';
import { hangingTwig, runBeyond, skeletonStrands } from './wood.ts';

export interface GrownPlant {
  model: PlantModel;
  /** Trunks, limbs and twigs; `material` is −1 until the massing maps `barkMaterialId`. */
  limbs: Strand[];
  /** Library id of the bark. */
  barkMaterialId: 'barkBrown' | 'barkPale' | 'barkGrey';
}

export interface GrowOptions {
  season?: Season;
  /** Share of the usual number of cards, each so much larger that the leaf area stays: plants of large plantings. */
  detail?: number;
}

const BARK = { brown: 'barkBrown', pale: 'barkPale', grey: 'barkGrey' } as const;

/** Cards a clump, against medium: thinning the cards lets more light through by itself. */
const DENSITY = { thin: 0.5, medium: 1, dense: 1.45 } as const;
/** Cards of one plant at medium density and full detail: trees, and low plants. */
export const MOST_TREE_CARDS = 7000;
export const MOST_LOW_CARDS = 5200;
const TREE_CLUMP = 9;
const LOW_CLUMP = { shrub: 12, clippedBall: 10, hedge: 12 } as const;

/**
 * Grows a tree, shrub or hedge from its record: limbs as strands, leaves as clumps of cards. Deterministic in the record,
 * season and detail; seasons and details share their wood.
 *
 * Leaf area of a medium tree crown of volume V is 1.5·V·(60/V)^0.3 m² (LAD 1.5 m²/m³ at 60 m³, less in larger crowns, up to
 * 1.8 times that in narrow ones), of a medium shrub 4 and hedge 4.8 m²/m³: within the ranges given for shrubs (2 to 5) and
 * street trees (1 to 2). Clipped balls 1.5 m² a square metre of their shell, in which their leaves sit (from memory).
 *
 * @throws {RangeError} the crown base is not below the top.
 */
export function growPlant(record: PlantRecord, options: GrowOptions = {}): GrownPlant {
  if (record.crownBaseM >= record.heightM)
    throw new RangeError(
      `planting(id = ${record.id}).crownBaseM: ${record.crownBaseM} m is not below the top at ${record.heightM} m`,
    );
  const dice = createDice(mixSeed(record.seed, record.habit));
  const { masses, limbs, volumeM3, sideM } = growByHabit(
    record,
    { detail: options.detail ?? 1, twigM: twigRadiusM(record, options) },
    dice,
  );
  const placing = createPlacing(record);
  const model = dressPlant(record, masses, foliageOf(record, options.season ?? 'summer', sideM), volumeM3, placing);
  placeLimbs(limbs, placing);
  return { model, limbs, barkMaterialId: BARK[record.bark] };
}

/** All twigs, but where large plantings must do with less and leaves hide them. */
function twigRadiusM(record: PlantRecord, { detail = 1, season }: GrowOptions): number {
  const bare = season === 'winter' && !record.evergreen;
  return bare || detail === 1 ? 0.0022 : 0.004;
}

/** Share of the cards, and the thinnest twig that is wood of its own (radius, metres). */
interface How {
  detail: number;
  twigM: number;
}

interface Grown {
  masses: LeafMass[];
  limbs: Strand[];
  volumeM3: number;
  /** Usual side of a card, metres. */
  sideM: number;
}

function growByHabit(record: PlantRecord, how: How, dice: Dice): Grown {
  switch (record.habit) {
    case 'shrub':
    case 'clippedBall':
    case 'hedge':
      return growBush(record, record.habit, how, dice);
    case 'climber':
      return growOnWall(record, how, dice);
    case 'palm':
      return growPalmTree(record, dice);
    case 'grass':
      return growTuft(record, dice);
    case 'conical':
      return growTiers(record, how, dice);
    case 'weeping':
      return growWeeping(record, how, dice);
    default:
      return growTree(record, TREE_HABITS[record.habit], how, dice);
  }
}

interface LeafPlan {
  sideM: number;
  cards: number;
}

/** How many cards of what side make a leaf area: the wanted side, unless that takes too many. */
function planLeaves(areaM2: number, wantedSideM: number, most: number, density: number, detail: number): LeafPlan {
  const perCard = LEAF_SHARE * wantedSideM ** 2;
  const cards = Math.max(24, Math.min(most, areaM2 / perCard) * detail);
  return { sideM: Math.sqrt(areaM2 / (cards * LEAF_SHARE)), cards: cards * density };
}

function crownLeafAreaM2(volumeM3: number, spreadM: number): number {
  // Narrow crowns are denser: light reaches all of them.
  const narrow = Math.min(1.8, Math.max(1, (4.5 / spreadM) ** 0.7));
  return 1.5 * narrow * volumeM3 * (60 / volumeM3) ** 0.3;
}

function crownPlan(record: PlantRecord, areaM2: number, volumeM3: number, detail: number): LeafPlan {
  const wanted = Math.min(0.3, Math.max(0.1, 0.23 * (volumeM3 / 60) ** 0.2), 0.09 * record.spreadM);
  return planLeaves(areaM2, wanted, MOST_TREE_CARDS, DENSITY[record.density], detail);
}

function growTree(record: PlantRecord, habit: TreeHabit, how: How, dice: Dice): Grown {
  const depthM = record.heightM - record.crownBaseM;
  const volumeM3 = profileVolumeM3(habit, record.spreadM, depthM);
  const { sideM, cards } = crownPlan(record, crownLeafAreaM2(volumeM3, record.spreadM), volumeM3, how.detail);
  const count = Math.round(cards / DENSITY[record.density] / TREE_CLUMP);
  const radiusM = Math.min(sideM * 1.5, record.spreadM * 0.2, depthM * 0.2);
  const crown = layCrown(habit, record, count, radiusM, dice);
  const style = {
    sideM,
    outward: (_: Vec3, index: number) => crown.outward[index]!,
    outwardWeight: 0.45,
    scatter: 0.75,
    reach: 0.75,
    droop: habit.droop,
  };
  const limbs = growTreeWood(habit, record, crown, Math.min(0.4, Math.max(0.05, 0.5 * radiusM)), how.twigM, dice);
  const masses = fillMasses(crown.points, radiusM, cards / crown.points.length, style, dice);
  return { masses, limbs, volumeM3: crown.volumeM3, sideM };
}

/** A dome of boughs, and from its outer masses strings of leaves down to the crown base. */
function growWeeping(record: PlantRecord, how: How, dice: Dice): Grown {
  const habit = TREE_HABITS.weeping;
  const depthM = record.heightM - record.crownBaseM;
  const volumeM3 = profileVolumeM3(habit, record.spreadM, depthM);
  const { sideM, cards } = crownPlan(record, crownLeafAreaM2(volumeM3, record.spreadM), volumeM3, how.detail);
  const radiusM = Math.min(sideM * 1.4, record.spreadM * 0.16, depthM * 0.16);
  const dome = { ...record, crownBaseM: record.crownBaseM + 0.4 * depthM };
  const crown = layCrown(habit, dome, Math.round((cards * 0.34) / DENSITY[record.density] / TREE_CLUMP), radiusM, dice);
  const style = {
    sideM,
    outward: (_: Vec3, index: number) => crown.outward[index]!,
    outwardWeight: 0.4,
    scatter: 0.6,
    reach: 0.75,
    droop: 1,
  };
  const masses = fillMasses(crown.points, radiusM, (cards * 0.34) / crown.points.length, style, dice);
  const limbs = growTreeWood(habit, record, crown, Math.min(0.4, Math.max(0.05, 0.5 * radiusM)), how.twigM, dice);
  const perLink = 3 * DENSITY[record.density];
  const links = (cards * 0.66) / perLink;
  const strings = hangStrings(crown, record, Math.max(12, Math.round((links * sideM) / (0.36 * depthM))), dice);
  strings.forEach(({ top, lowM, swing, taper }, index) => {
    const run = Math.max(1.2 * sideM, top[1] - lowM);
    const tone = dice.range(0.82, 1.15);
    const on = (t: number): Vec3 => along([top[0], Math.max(lowM, top[1] - run * t), top[2]], Math.sqrt(t), swing);
    limbs.push(hangingTwig([0, 0.12, 0.5, 1].map(on), `${record.id}/string-${index}`, record.id));
    for (let t = 0.4 * (sideM / run); t < 1; ) {
      const side = sideM * (1 - (1 - taper) * t);
      masses.push({ at: on(t), radiusM: side, cards: hangingCards(on(t), side, perLink, tone, dice) });
      t += (0.95 * side) / run;
    }
  });
  const half = record.spreadM / 2;
  fitMasses(masses, undefined, [-half, record.crownBaseM, -half], [half, record.heightM, half]);
  return { masses, limbs, volumeM3, sideM };
}

function hangingCards(at: Vec3, sideM: number, count: number, tone: number, dice: Dice): LeafMass['cards'] {
  const whole = Math.floor(count) + (dice.next() < count % 1 ? 1 : 0);
  return Array.from({ length: whole }, () => {
    const phi = dice.range(0, 2 * Math.PI);
    return {
      at: [at[0] + dice.range(-0.2, 0.2) * sideM, at[1] + dice.range(-0.7, 0.7) * sideM, at[2] + dice.range(-0.2, 0.2) * sideM],
      normal: [Math.cos(phi), dice.range(-0.25, 0.25), Math.sin(phi)],
      up: [dice.range(-0.15, 0.15), -1, dice.range(-0.15, 0.15)],
      sideM: sideM * dice.range(0.9, 1.15),
      tile: Math.floor(dice.range(0, 4)),
      brightness: toneOf(tone, dice),
    };
  });
}

function growTiers(record: PlantRecord, how: How, dice: Dice): Grown {
  const volumeM3 = coniferVolumeM3(record);
  const areaM2 = Math.min(3, 1.9 * (30 / volumeM3) ** 0.22) * volumeM3;
  const wanted = Math.min(0.36, Math.max(0.12, 0.05 * record.spreadM + 0.06));
  const { sideM, cards } = planLeaves(areaM2, wanted, MOST_TREE_CARDS, DENSITY[record.density], how.detail);
  const conifer = growConifer(record, cards, sideM, dice);
  const half = record.spreadM / 2;
  fitMasses(conifer.masses, conifer.skeleton, [-half, record.crownBaseM, -half], [half, record.heightM, half]);
  return { masses: conifer.masses, limbs: coniferWood(record, conifer.skeleton), volumeM3, sideM };
}

function growBush(record: PlantRecord, habit: 'shrub' | 'clippedBall' | 'hedge', how: How, dice: Dice): Grown {
  const long = habit === 'hedge' ? (record.lengthM ?? record.spreadM) : record.spreadM;
  const depthM = record.heightM - record.crownBaseM;
  const form = { shrub: 0.63, clippedBall: 0.52, hedge: 1 }[habit];
  const volumeM3 = long * record.spreadM * depthM * form;
  const shellM2 = (Math.PI / 4) * (record.spreadM + depthM) ** 2;
  const areaM2 = { shrub: 4 * volumeM3, clippedBall: 1.5 * shellM2, hedge: 4.8 * volumeM3 }[habit];
  const wanted = { shrub: 0.13, clippedBall: 0.095, hedge: 0.11 }[habit] * Math.min(1.4, Math.max(0.6, (volumeM3 / 2) ** 0.15));
  const most = MOST_LOW_CARDS * (habit === 'hedge' && long > 8 ? 1.5 : 1);
  const { sideM, cards } = planLeaves(areaM2, wanted, most, DENSITY[record.density], how.detail);
  const count = Math.max(14, Math.round(cards / DENSITY[record.density] / LOW_CLUMP[habit]));
  const grower = { shrub: growShrub, clippedBall: growBall, hedge: growHedge }[habit];
  const bush: Bush = grower(record, count, cards / count, sideM, dice);
  const half = record.spreadM / 2;
  fitMasses(bush.masses, undefined, [-long / 2, record.crownBaseM, -half], [long / 2, record.heightM, half]);
  const limbs =
    habit === 'hedge' ? [] : toLimbs(record, growStems(record, bush, habit === 'shrub' ? 7 : 1, dice), 'low', 0.003, 0.1);
  return { masses: bush.masses, limbs, volumeM3: bush.volumeM3, sideM };
}

function growOnWall(record: PlantRecord, how: How, dice: Dice): Grown {
  const { bush, skeleton } = growClimber(record, MOST_LOW_CARDS * how.detail, LEAF_SHARE, dice);
  const half = record.spreadM / 2;
  /* Along the wall and up it the record rules; how far it stands off stays as grown. */
  const { at, radiusM } = bush.masses[0]!;
  fitMasses(bush.masses, undefined, [-half, record.crownBaseM, at[2] - radiusM], [half, record.heightM, at[2] + radiusM]);
  return { masses: bush.masses, limbs: toLimbs(record, skeleton, 'low', 0.002, 0), volumeM3: bush.volumeM3, sideM: 0.22 };
}

function growTuft(record: PlantRecord, dice: Dice): Grown {
  const { masses, volumeM3 } = growGrass(record, DENSITY[record.density], dice);
  const half = record.spreadM / 2;
  fitMasses(masses, undefined, [-half, record.crownBaseM, -half], [half, record.heightM, half]);
  return { masses, limbs: [], volumeM3, sideM: 0.4 };
}

function growPalmTree(record: PlantRecord, dice: Dice): Grown {
  const { masses, skeleton, radiiM, volumeM3 } = growPalm(record, dice);
  const half = record.spreadM / 2;
  fitMasses(masses, skeleton, [-half, record.crownBaseM, -half], [half, record.heightM, half]);
  const style = { plantId: record.id, leastRadiusM: 0.004, flare: 0.3, forkFromM: Infinity };
  return { masses, limbs: skeletonStrands(skeleton, Float64Array.from(radiiM), style), volumeM3, sideM: 0.4 };
}

/** A conifer's trunk tapers evenly to its tip; branches are thin for their length. */
function coniferWood(record: PlantRecord, skeleton: Skeleton): Strand[] {
  const { at, parent } = skeleton;
  const n = at.length;
  const footM = record.trunkDiameterM / 2;
  const beyondM = runBeyond(skeleton);
  let trunk = 1;
  while (trunk < n && parent[trunk] === trunk - 1) trunk++;
  const radii = Float64Array.from(at, (p, i) => {
    const taper = footM * Math.max(0.03, 1 - (0.97 * p[1]) / record.heightM);
    return i < trunk ? taper : Math.min(0.7 * taper, 0.004 + 0.0095 * beyondM[i]!);
  });
  return skeletonStrands(skeleton, radii, { plantId: record.id, leastRadiusM: 0.006, flare: 0.45 });
}
