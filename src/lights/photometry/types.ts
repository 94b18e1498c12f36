import type { DistributionRecord } from '../../scene/index.ts';

export type PhotometricTable = Extract<DistributionRecord, { kind: 'table' }>;

export type PhotometryFormat = 'LM-63-1986' | 'LM-63-1991' | 'LM-63-1995' | 'LM-63-2002' | 'LM-63-2019' | 'EULUMDAT';

/** Lamp-position factors of a `TILT=INCLUDE` block; kept and said in a warning, not applied. */
export interface TiltFactors {
  /** 1 vertical base up or down; 2 horizontal, stays so; 3 horizontal, tilts with the luminaire. */
  lampToLuminaire: 1 | 2 | 3;
  anglesDeg: number[];
  factors: number[];
}

/** One equipment of an EULUMDAT file. */
export interface LampSet {
  count: number;
  type: string;
  fluxLm: number;
  colour: string;
  rendering: string;
  powerW: number;
}

export interface PhotometryMetadata {
  /** Name for people: luminaire, catalogue number or first label line; may be empty. */
  name: string;
  /** Keyword lines of LM-63, or the text fields of EULUMDAT, in file order. */
  keywords: { key: string; value: string }[];
  /** LM-63 photometric type as written in the file; EULUMDAT is always C. */
  photometricType: 'A' | 'B' | 'C';
  lampCount: number;
  /** Lumens of one lamp (LM-63) or of the set in use (EULUMDAT); undefined for absolute photometry. */
  lumensPerLamp: number | undefined;
  inputW: number | undefined;
  /** Radius of the disc with the area of the luminous opening; undefined for a point or an unreadable shape. */
  openingRadiusM: number | undefined;
  cctK: number | undefined;
  colourRendering: number | undefined;
  tilt: TiltFactors | undefined;
  /** Meaning of field 12 in LM-63-2019. */
  fileGeneration: string | undefined;
  lampSets: LampSet[];
  /** EULUMDAT symmetry indicator 0…4. */
  symmetry: number | undefined;
}

/** A photometric file, read whole: absolute candela and what the file says of itself. */
export interface Photometry {
  format: PhotometryFormat;
  /** Absolute candela, every factor of the file applied; nothing normalised. */
  table: PhotometricTable;
  /** Integral of the table over the sphere. */
  fluxLm: number;
  /** What the header says: lamps × lumens (LM-63), lamp lumens × light output ratio (EULUMDAT); undefined when absolute. */
  declaredFluxLm: number | undefined;
  peakCd: number;
  beamAngleFullDeg: number;
  fieldAngleFullDeg: number;
  metadata: PhotometryMetadata;
  warnings: string[];
}

/** A file that cannot be read: one sentence that names line and token. */
export class PhotometryError extends Error {
  /** 1-based; 0 where the file as a whole is meant. */
  readonly line: number;
  readonly token: string;

  constructor(line: number, token: string, reason: string) {
    const shown = token.length > 40 ? `${token.slice(0, 40)}…` : token;
    const place = line > 0 ? `line ${line}${shown ? `, "${shown}"` : ''}: ` : '';
    super(`${place}${reason}`);
    this.line = line;
    this.token = token;
  }
}
