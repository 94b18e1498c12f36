import { beamFigures, distributionFluxLm } from '../distribution.ts';
import type { Planes } from './planes.ts';
import {
  type PhotometricTable,
  type Photometry,
  PhotometryError,
  type PhotometryFormat,
  type PhotometryMetadata,
} from './types.ts';

/** Header and table may differ by this much before it is said. */
const FLUX_TOLERANCE = 0.02;
/** Most angles a lamp record holds. */
export const MOST_ANGLES = 721;
/** More than any lamp; keeps sums finite. */
const MOST_CANDELA = 1e9;

interface Read {
  format: PhotometryFormat;
  planes: Planes;
  declaredFluxLm: number | undefined;
  metadata: PhotometryMetadata;
  warnings: string[];
  /** What lamp lumens mean in the format's header: of the bare lamp (LM-63) or of the luminaire (EULUMDAT). */
  declaredOf: 'lamp' | 'luminaire';
}

/**
 * Figures of a table read from a file, and whether it agrees with its own header.
 * @throws {PhotometryError} candela beyond any lamp, or more angles than a lamp record holds.
 */
export function summarise({ format, planes, declaredFluxLm, metadata, warnings, declaredOf }: Read): Photometry {
  if (planes.candela.some((row) => row.some((I) => !(I <= MOST_CANDELA)))) {
    throw new PhotometryError(0, '', 'candela after all factors exceed 1,000,000,000 cd; the factors of the header are damaged');
  }
  const table: PhotometricTable = {
    kind: 'table',
    gammaDeg: planes.gammaDeg,
    cDeg: planes.cDeg,
    candela: planes.candela,
    ...(declaredFluxLm === undefined ? {} : { declaredFluxLm }),
    sourceName: metadata.name.slice(0, 200),
  };
  const fluxLm = distributionFluxLm(table);
  const { peakCd, beamAngleFullDeg, fieldAngleFullDeg } = beamFigures(table);
  if (peakCd === 0) warnings.push('Every candela is 0: this lamp is dark.');
  const said = fluxSentence(fluxLm, declaredFluxLm, declaredOf);
  if (said) warnings.push(said);
  return { format, table, fluxLm, declaredFluxLm, peakCd, beamAngleFullDeg, fieldAngleFullDeg, metadata, warnings };
}

function fluxSentence(fluxLm: number, declaredFluxLm: number | undefined, declaredOf: 'lamp' | 'luminaire'): string | undefined {
  if (declaredFluxLm === undefined || declaredFluxLm <= 0) return undefined;
  if (Math.abs(fluxLm / declaredFluxLm - 1) <= FLUX_TOLERANCE) return undefined;
  const sums = `Header says ${lumens(declaredFluxLm)}, its candela add up to ${lumens(fluxLm)}. Using the candela.`;
  if (declaredOf === 'luminaire' || fluxLm > declaredFluxLm) return sums;
  return `${sums} (${Math.round((100 * fluxLm) / declaredFluxLm)} % of the lamp's rated light leaves the luminaire.)`;
}

const lumens = (lm: number): string => `${Math.round(lm).toLocaleString('en-US')} lm`;
