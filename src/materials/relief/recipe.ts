import type { ReliefShape } from './shapes.ts';

/** How units are laid: bricks, slates, flags; boards begin anywhere along their length. Colour of a unit follows from its index in wall coordinates. */
export type Bond = 'none' | 'flemish' | 'english' | 'running' | 'stack' | 'boards';

/** Repeat, units and limits of a relief: what its drawing needs beside the maps. */
export interface ReliefLaying {
  name: string;
  /** The repeat in metres, along s and along t. */
  widthM: number;
  heightM: number;
  bond: Bond;
  /** Pitch of units, joints included. Flemish: one stretcher and one header; English: one stretcher. */
  pitchSM: number;
  pitchTM: number;
  /** Largest E(n′)/E(n) shown. */
  ratioLimit: number;
  /** Brightness spread between units, 1 = the full set of fired bricks. */
  unitSpread: number;
}

export interface ReliefRecipe extends ReliefLaying {
  /** Grass, stones, chips: reflectance is that of the whole rough face, so the response keeps a mean of 1. */
  loose?: boolean;
  /** Heights in metres, mean zero, and the share of the unit's own colour (0 joint, 1 unit); row 0 at t = 0. */
  shape(texels: number): ReliefShape;
}

/** A relief without units of its own. */
export const WITHOUT_UNITS = { bond: 'none', pitchSM: 1, pitchTM: 1, unitSpread: 0 } as const;
