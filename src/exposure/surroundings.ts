/** Where the property lies: how bright its moonless night sky is, and its zone of CIE 150. */
export type Surroundings = 'darkRural' | 'village' | 'suburb' | 'brightSuburb' | 'town';
export type Cie150Zone = 'E0' | 'E1' | 'E2' | 'E3' | 'E4';

export interface SurroundingsFigures {
  label: string;
  zone: Cie150Zone;
  /** Horizontal illuminance of the clear moonless night sky, airglow included, lux. */
  skyLx: number;
  /** Overcast ÷ clear: cloud over a town throws its light back, cloud over dark land hides the stars (from memory). */
  overcastFactor: number;
}

export const surroundingsFigures: Record<Surroundings, SurroundingsFigures> = {
  darkRural: {
    label: 'Dark countryside',
    zone: 'E1',
    skyLx: 0.001,
    overcastFactor: 0.6,
  },
  village: { label: 'Village', zone: 'E2', skyLx: 0.004, overcastFactor: 2 },
  suburb: { label: 'Suburb', zone: 'E3', skyLx: 0.01, overcastFactor: 4 },
  brightSuburb: {
    label: 'Bright suburb',
    zone: 'E3',
    skyLx: 0.025,
    overcastFactor: 6,
  },
  town: { label: 'Town', zone: 'E4', skyLx: 0.06, overcastFactor: 8 },
};

/** Figures of CIE 150:2017 by zone, from memory: verify before any of them is called a limit. `undefined`: none given. */
export interface ObtrusiveFigures {
  /** Vertical illuminance at neighbours' windows before curfew, lux. */
  windowPreCurfewLx: number | undefined;
  /** The same after curfew, lux. */
  windowPostCurfewLx: number | undefined;
  /** Mean façade luminance, cd/m². */
  facadeCdM2: number;
  /** Mean sign luminance, cd/m². */
  signCdM2: number;
  /** Upward light ratio, percent. */
  upwardLightRatioPercent: number;
}

export const obtrusiveFigures: Record<Cie150Zone, ObtrusiveFigures> = {
  E0: {
    windowPreCurfewLx: undefined,
    windowPostCurfewLx: undefined,
    facadeCdM2: 0.1,
    signCdM2: 0.1,
    upwardLightRatioPercent: 0,
  },
  E1: {
    windowPreCurfewLx: 2,
    windowPostCurfewLx: 0.1,
    facadeCdM2: 0.1,
    signCdM2: 50,
    upwardLightRatioPercent: 0,
  },
  E2: {
    windowPreCurfewLx: 5,
    windowPostCurfewLx: 1,
    facadeCdM2: 5,
    signCdM2: 400,
    upwardLightRatioPercent: 2.5,
  },
  E3: {
    windowPreCurfewLx: 10,
    windowPostCurfewLx: 2,
    facadeCdM2: 10,
    signCdM2: 800,
    upwardLightRatioPercent: 5,
  },
  E4: {
    windowPreCurfewLx: 25,
    windowPostCurfewLx: 5,
    facadeCdM2: 25,
    signCdM2: 1000,
    upwardLightRatioPercent: 15,
  },
};
