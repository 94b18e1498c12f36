import { type GrownPlant, growPlant } from '../plants/index.ts';
import type { PlantingRecord, PlantRecord, Season } from '../records/index.ts';
import { SceneBuilder } from './builder.ts';
import { bySpace } from './bySpace.ts';
import { addStrandOccluders } from './strand.ts';
import type { LeafEllipsoid, PlantModel } from './types.ts';

/** Limbs under 3 cm across throw no hard shadow. */
const LEAST_SHADOW_RADIUS_M = 0.015;
/** Growing is the slow part of a scene and depends on the record alone: keep what was grown last. */
const KEPT_PLANTS = 300;
const grown = new Map<string, Grown>();

/** A plant with the triangles of its limbs that throw hard shadows, 9 numbers each. */
interface Grown extends GrownPlant {
  shadowsM: Float32Array;
}

function grow(record: PlantRecord, season: Season, detail: number): Grown {
  const key = JSON.stringify([record, season, detail]);
  let plant = grown.get(key);
  if (plant) grown.delete(key);
  else {
    const bare = growPlant(record, { season, detail });
    plant = { ...bare, limbs: bySpace(bare.limbs), shadowsM: shadowsOf(bare) };
  }
  grown.set(key, plant);
  const oldest = grown.keys().next().value;
  if (grown.size > KEPT_PLANTS && oldest !== undefined) grown.delete(oldest);
  return plant;
}

function shadowsOf(plant: GrownPlant): Float32Array {
  const apart = new SceneBuilder();
  for (const limb of plant.limbs) {
    if (limb.occludes) addStrandOccluders(apart, { ...limb, material: -1 }, LEAST_SHADOW_RADIUS_M);
  }
  return Float32Array.from(apart.positions);
}

/** Leaf cards of a whole property, about; beyond it every plant has fewer and larger ones, of equal leaf area. */
const MOST_CARDS = 110_000;
/** Cards of a plant, about: trees, and low plants. */
const USUAL_CARDS = { tree: 6000, low: 2400 };
/** Few steps, so that one more shrub does not grow every tree anew. */
const DETAILS = [1, 0.75, 0.55, 0.4, 0.28];
const LOW = new Set<PlantRecord['habit']>(['clippedBall', 'hedge', 'shrub', 'climber']);
const FEW = new Set<PlantRecord['habit']>(['palm', 'grass']);

/** Share of the usual number of cards that each plant of a planting gets. */
export function detailOf(planting: readonly PlantingRecord[]): number {
  let cards = 0;
  for (const record of planting) {
    if (record.kind !== 'plant' || FEW.has(record.habit)) continue;
    cards += LOW.has(record.habit) ? USUAL_CARDS.low : USUAL_CARDS.tree;
  }
  return DETAILS.find((detail) => cards * detail <= MOST_CARDS) ?? DETAILS.at(-1)!;
}

export function buildPlanting(
  b: SceneBuilder,
  planting: readonly PlantingRecord[],
  growPlants: boolean,
  season: Season = 'summer',
): { plants: PlantModel[]; ellipsoids: LeafEllipsoid[] } {
  const detail = detailOf(planting);
  const plants: PlantModel[] = [];
  const ellipsoids: LeafEllipsoid[] = [];
  for (const record of planting) {
    if (record.kind === 'ellipsoidCrown') {
      const { id, centre, radiiM, leafAreaDensityM2M3, clumping } = record;
      ellipsoids.push({ id, centre, radiiM, leafAreaDensityM2M3, clumping });
    } else if (growPlants) {
      const { model, limbs, barkMaterialId, shadowsM } = grow(record, season, detail);
      /* Copies: a scene's arrays may be handed over to another thread for good. */
      plants.push({ ...model, clumps: model.clumps.slice(), cards: model.cards.slice(), cardLook: model.cardLook.slice() });
      const material = limbs.length > 0 ? b.material(barkMaterialId) : -1;
      for (const limb of limbs) {
        const strand = { ...limb, material, ringsM: limb.ringsM.slice(), radiiM: limb.radiiM.slice() };
        b.strands.push(strand);
      }
      if (shadowsM.length > 0) b.occluders(record.id, shadowsM);
    }
  }
  return { plants, ellipsoids };
}
