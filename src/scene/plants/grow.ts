import type { PlantModel, Strand } from '../massing/types.ts';
import type { PlantRecord, Vec3 } from '../records/index.ts';
import { type CardStyle, dressClumps, fitToBox, LEAF_SHARE } from './leaves.ts';
import { createDice, type Dice, mixSeed } from './random.ts';
import { type Bush, growStems, layBall, layClimber, layHedge, layShrub } from './shrub.ts';
import { limbRadii, type Skeleton, skeletonStrands } from './skeleton.ts';
import { growWood, layCrown, profileVolumeM3, TREE_HABITS, type TreeHabit, toClumps } from './tree.ts';
import { layGrass, layPalm, type Tuft } from './tufts.ts';

export interface GrownPlant {
  model: PlantModel;
  /** Trunks, limbs and twigs; `material` is −1 until the massing maps `barkMaterialId`. */
  limbs: Strand[];
  /** Library id of the bark. */
  barkMaterialId: 'barkBrown' | 'barkPale' | 'barkGrey';
}

const BARK = { brown: 'barkBrown', pale: 'barkPale', grey: 'barkGrey' } as const;

/** Cards a clump, against medium: thinning the cards lets more light through by itself. */
const DENSITY = { thin: 0.5, medium: 1, dense: 1.45 } as const;
const CARDS_PER_CLUMP = 13;
const MAX_CLUMPS = 520;

/**
 * Grows a tree, shrub or hedge from its record: limbs as strands, leaves as clumps of cards. Deterministic in the record.
 *
 * Leaf area of a medium tree crown of volume V is 1.5·V·(60/V)^¼ m² (LAD 1.5 m²/m³ at 60 m³, less in larger crowns, up to
 * 1.8 times that in narrow ones),
 * of a medium shrub or hedge 3.5 to 4 m²/m³: within the ranges given for shrubs (2 to 5) and street trees (1 to 2).
 *
 * @throws {RangeError} the crown base is not below the top.
 */
export function growPlant(record: PlantRecord): GrownPlant {
  if (record.crownBaseM >= record.heightM)
    throw new RangeError(
      `planting(id = ${record.id}).crownBaseM: ${record.crownBaseM} m is not below the top at ${record.heightM} m`,
    );
  const dice = createDice(mixSeed(record.seed, record.habit));
  const grown = growByHabit(record, dice);
  const placed = placePlant(record, grown.model, grown.limbs);
  return { ...placed, barkMaterialId: BARK[record.bark] };
}

type Local = { model: PlantModel; limbs: Strand[] };

function growByHabit(record: PlantRecord, dice: Dice): Local {
  switch (record.habit) {
    case 'shrub':
    case 'clippedBall':
    case 'hedge':
    case 'climber':
      return growBush(record, record.habit, dice);
    case 'palm':
    case 'grass':
      return growTuft(record, record.habit, dice);
    default:
      return growTree(record, TREE_HABITS[record.habit], dice);
  }
}

function growTree(record: PlantRecord, habit: TreeHabit, dice: Dice): Local {
  const depthM = record.heightM - record.crownBaseM;
  const volumeM3 = profileVolumeM3(habit, record.spreadM, depthM);
  // Narrow crowns are denser: light reaches all of them.
  const narrow = Math.min(1.8, Math.max(1, (4.5 / record.spreadM) ** 0.7));
  const areaM2 = 1.5 * narrow * volumeM3 * (60 / volumeM3) ** 0.25;
  let sideM = Math.min(0.32, Math.max(0.09, 0.25 * (volumeM3 / 60) ** 0.22), 0.09 * record.spreadM);
  let count = Math.round(areaM2 / (CARDS_PER_CLUMP * LEAF_SHARE * sideM * sideM));
  if (count > MAX_CLUMPS) {
    count = MAX_CLUMPS;
    sideM = Math.sqrt(areaM2 / (count * CARDS_PER_CLUMP * LEAF_SHARE));
  }
  const clumpRadiusM = Math.min(sideM * 1.1, record.spreadM * 0.2, depthM * 0.25);
  const crown = layCrown(habit, record, count, clumpRadiusM, dice);
  const stepM = Math.max(0.05, 0.6 * clumpRadiusM);
  const skeleton = growWood(habit, record, crown, stepM, dice);
  const middle = crown.middle;
  const style: CardStyle = {
    sideM,
    perClump: CARDS_PER_CLUMP * DENSITY[record.density],
    outward: (p) => unit([p[0] - middle[0], p[1] - middle[1], p[2] - middle[2]]),
    outwardWeight: 0.35,
    scatter: 0.6,
    shell: [0, 0.58],
  };
  const model = dressClumps(record, toClumps(crown.points, clumpRadiusM), style, crown.volumeM3, dice);
  return { model, limbs: wood(record, skeleton, 0.006, 0.55) };
}

function growBush(record: PlantRecord, habit: 'shrub' | 'clippedBall' | 'hedge' | 'climber', dice: Dice): Local {
  const clipped = habit === 'clippedBall' || habit === 'hedge';
  const along = habit === 'hedge' ? (record.lengthM ?? record.spreadM) : record.spreadM;
  const depthM = record.heightM - record.crownBaseM;
  const thick = habit === 'climber' ? 0.25 : record.spreadM;
  const roughM3 = along * thick * depthM * (clipped ? 1 : 0.63);
  const sideM =
    habit === 'hedge' ? 0.11 : Math.min(0.17, Math.max(0.06, (habit === 'clippedBall' ? 0.085 : 0.12) * (roughM3 / 2) ** 0.2));
  const radiusM = Math.min(sideM * 1.2, depthM * 0.2, thick * 0.3);
  const ladM2M3 = { shrub: 4, clippedBall: 4, hedge: 3.5, climber: 10 }[habit];
  const cards = Math.min(9000, (ladM2M3 * roughM3) / (LEAF_SHARE * sideM * sideM));
  const perClump = 13;
  const count = Math.max(12, Math.round(cards / perClump));
  const lay = { shrub: layShrub, clippedBall: layBall, hedge: layHedge, climber: layClimber }[habit];
  const bush = lay(record, count, radiusM, dice);
  const half = record.spreadM / 2;
  const front = habit === 'climber' ? [0, 4 * radiusM] : [-half, half];
  fitToBox(bush.points, radiusM, [-along / 2, record.crownBaseM, front[0]!], [along / 2, record.heightM, front[1]!]);
  const style: CardStyle = {
    sideM,
    perClump: perClump * DENSITY[record.density],
    outward: bush.outward,
    outwardWeight: clipped ? 1.6 : 0.9,
    scatter: clipped ? 0.5 : 0.7,
    shell: [0, 0.62],
  };
  const model = dressClumps(record, toClumps(bush.points, radiusM), style, bush.volumeM3, dice);
  return { model, limbs: bushWood(record, habit, bush, dice) };
}

function bushWood(record: PlantRecord, habit: 'shrub' | 'clippedBall' | 'hedge' | 'climber', bush: Bush, dice: Dice): Strand[] {
  if (habit === 'hedge') return [];
  const stems = habit === 'clippedBall' ? 1 : habit === 'climber' ? 3 : 6;
  return wood(record, growStems(record, bush, stems, dice), 0.004, 0.1);
}

function growTuft(record: PlantRecord, habit: 'palm' | 'grass', dice: Dice): Local {
  const sideM = habit === 'palm' ? Math.min(0.45, 0.09 * record.spreadM + 0.06) : Math.min(0.14, 0.08 * record.heightM + 0.03);
  const radiusM = sideM * 0.8;
  const tuft: Tuft = (habit === 'palm' ? layPalm : layGrass)(record, radiusM, dice);
  const half = record.spreadM / 2;
  fitToBox(tuft.points, radiusM, [-half, record.crownBaseM, -half], [half, record.heightM, half]);
  const style: CardStyle = {
    sideM,
    perClump: (habit === 'palm' ? 7 : 4) * DENSITY[record.density],
    outward: tuft.outward,
    outwardWeight: 0.8,
    scatter: 0.5,
    shell: [0.1, 0.9],
  };
  const model = dressClumps(record, toClumps(tuft.points, radiusM), style, tuft.volumeM3, dice);
  return { model, limbs: habit === 'palm' ? palmWood(record, tuft.skeleton) : [] };
}

/** A palm does not thicken: trunk of one width, ribs a few millimetres. */
function palmWood(record: PlantRecord, skeleton: Skeleton): Strand[] {
  const children = new Int32Array(skeleton.at.length);
  for (const up of skeleton.parent) if (up >= 0) children[up]!++;
  const head = children.findIndex((c) => c > 1);
  const radii = Float64Array.from(skeleton.at, (_, i) => (i <= head ? record.trunkDiameterM / 2 : 0.014));
  return skeletonStrands(skeleton, radii, { plantId: record.id, leastRadiusM: 0.004, flare: 0.2, baseM: 0 });
}

function wood(record: PlantRecord, skeleton: Skeleton, leastRadiusM: number, flare: number): Strand[] {
  const footM = record.trunkDiameterM / 2;
  const radii = limbRadii(skeleton, footM, Math.min(0.0045, footM * 0.6));
  return skeletonStrands(skeleton, radii, {
    plantId: record.id,
    leastRadiusM: Math.min(leastRadiusM, footM * 0.7),
    flare,
    baseM: 0,
  });
}

const unit = (v: Vec3): Vec3 => {
  const k = 1 / (Math.hypot(v[0], v[1], v[2]) || 1);
  return [v[0] * k, v[1] * k, v[2] * k];
};

/** Turn by the bearing (local x runs along it), lean as a shear so that heights stay, and carry to the foot. */
function placePlant(record: PlantRecord, model: PlantModel, limbs: Strand[]): Local {
  const bearing = (record.bearingDeg * Math.PI) / 180;
  const axisX: readonly [number, number] = [Math.sin(bearing), -Math.cos(bearing)];
  const axisZ: readonly [number, number] = [Math.cos(bearing), Math.sin(bearing)];
  const lean = Math.tan((record.leanDeg * Math.PI) / 180);
  const toward = (record.leanBearingDeg * Math.PI) / 180;
  const place = (data: Float32Array | number[], i: number) => {
    const x = data[i]!;
    const y = data[i + 1]!;
    const z = data[i + 2]!;
    data[i] = record.at[0] + axisX[0] * x + axisZ[0] * z + lean * y * Math.sin(toward);
    data[i + 1] = record.baseM + y;
    data[i + 2] = record.at[1] + axisX[1] * x + axisZ[1] * z - lean * y * Math.cos(toward);
  };
  const turn = (data: Float32Array, i: number) => {
    const x = data[i]!;
    const z = data[i + 2]!;
    data[i] = axisX[0] * x + axisZ[0] * z;
    data[i + 2] = axisX[1] * x + axisZ[1] * z;
  };
  for (let i = 0; i < model.clumps.length; i += 5) place(model.clumps, i);
  for (let i = 0; i < model.cards.length; i += 8) {
    place(model.cards, i);
    turn(model.cards, i + 3);
  }
  for (const limb of limbs) for (let i = 0; i < limb.ringsM.length; i += 3) place(limb.ringsM, i);
  place(model.centre, 0);
  return { model, limbs };
}
