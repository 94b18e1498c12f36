import { type GrownPlant, growPlant } from '../plants/index.ts';
import type { PlantingRecord, PlantRecord } from '../records/index.ts';
import { SceneBuilder } from './builder.ts';
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

function grow(record: PlantRecord): Grown {
  const key = JSON.stringify(record);
  let plant = grown.get(key);
  if (plant) grown.delete(key);
  else {
    const bare = growPlant(record);
    plant = { ...bare, shadowsM: shadowsOf(bare) };
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

export function buildPlanting(
  b: SceneBuilder,
  planting: readonly PlantingRecord[],
  growPlants: boolean,
): { plants: PlantModel[]; ellipsoids: LeafEllipsoid[] } {
  const plants: PlantModel[] = [];
  const ellipsoids: LeafEllipsoid[] = [];
  for (const record of planting) {
    if (record.kind === 'ellipsoidCrown') {
      const { id, centre, radiiM, leafAreaDensityM2M3, clumping } = record;
      ellipsoids.push({ id, centre, radiiM, leafAreaDensityM2M3, clumping });
    } else if (growPlants) {
      const { model, limbs, barkMaterialId, shadowsM } = grow(record);
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
