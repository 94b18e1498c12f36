import type { PropertyDocument } from '../scene/index.ts';
import type { FindingKind, Severity } from './types.ts';

/** Where a limit comes from, as shown: published, from memory, common practice, computed, or the user's own. */
export type SourceKind =
  | 'published'
  | 'from memory, to be verified'
  | 'common practice, no source'
  | 'computed'
  | 'lamp record; computed'
  | 'your own limit';

export interface KindLimits {
  label: string;
  /** `above`: worse when larger. `below`: worse when smaller. */
  worse: 'above' | 'below';
  note?: number;
  warn?: number;
  stop?: number;
  unit: string;
  basis: string;
  sourceKind: SourceKind;
  why: string;
}

const PRACTICE: SourceKind = 'common practice, no source';
const MEMORY: SourceKind = 'from memory, to be verified';
const RECORD: SourceKind = 'lamp record; computed';

function row(
  label: string,
  worse: 'above' | 'below',
  limits: { note?: number; warn?: number; stop?: number },
  unit: string,
  sourceKind: SourceKind,
  basis: string,
  why: string,
): KindLimits {
  return { label, worse, ...limits, unit, basis, sourceKind, why };
}

/** All limits of the review, as data. A value at a limit counts as reached. */
export const LIMITS: Readonly<Record<FindingKind, KindLimits>> = {
  hotSpot: row(
    'Hot spot',
    'above',
    { note: 5, warn: 6.5 },
    'times the mean',
    PRACTICE,
    'Common practice, no source; a graze from 0.4 m is naturally 4 to 5 (computed). Also 25 and 50 cd/m².',
    'A blown patch draws the eye and the rest of the wall looks unlit.',
  ),
  clippedPicture: row(
    'Too bright for this exposure',
    'above',
    { note: 0.5, warn: 2 },
    '% of the picture',
    'published',
    'ISO 12232 saturation: 1.2 × 2^EV cd/m².',
    'What clips has lost its colour and texture in the picture.',
  ),
  darkGap: row(
    'Dark gap',
    'above',
    { note: 6, warn: 12 },
    '°',
    PRACTICE,
    'Common practice, no source: below a tenth of the lit parts on both sides.',
    'A black stretch between lit parts cuts the view in two.',
  ),
  darkSide: row(
    'Side wall dark',
    'below',
    { note: 0.15, warn: 0.05 },
    'of the front',
    PRACTICE,
    'Common practice, no source: within 2 m of the corner, the brighter side at least 0.5 cd/m².',
    'A lit front beside a black side looks like a stage set.',
  ),
  weakOnTarget: row(
    'Too weak for its target',
    'below',
    { note: 0.5, warn: 0.25 },
    'of the wanted lux',
    PRACTICE,
    'Common practice, no source: mean lux on the top fifth of the target, all lamps of the scheme.',
    'The top of the target fades out and the light is wasted.',
  ),
  strongOnTarget: row(
    'Stronger than its target needs',
    'above',
    { note: 3, warn: 6 },
    'times the wanted lux',
    PRACTICE,
    'Common practice, no source: mean lux on the top fifth of the target, all lamps of the scheme.',
    'A weaker lamp would do, with fewer watts and less glare.',
  ),
  blockedLens: row(
    'Lens blocked',
    'above',
    { note: 20, warn: 50 },
    '% of its light',
    PRACTICE,
    'Common practice, no source: lost within 0.5 m on what it is not meant to light.',
    'Light that ends on the nearest leaf never reaches what it is for.',
  ),
  seatGlare: row(
    'Seat glare',
    'above',
    { note: 2, warn: 5 },
    'lx at the eye',
    PRACTICE,
    'Common practice, no source; the veil shown with it: CIE 146:2002, general equation.',
    'A lamp seen from a seat is switched off for good.',
  ),
  veil: row(
    'Glare hides the way',
    'above',
    { note: 0.3, warn: 1 },
    'of what must be seen',
    'published',
    'CIE 146:2002 general equation, p = 0.5, age stated.',
    'Stray light in the eye hides what is darker than the veil.',
  ),
  windowLight: row(
    "Light at a neighbour's window",
    'above',
    { note: 0.5, warn: 1 },
    'of the figure',
    MEMORY,
    'CIE 150:2017, from memory, to be verified; guidance only.',
    'Light in a bedroom is the commonest complaint of neighbours.',
  ),
  skyLoss: row(
    'Light to the sky',
    'above',
    { note: 50, warn: 80 },
    '% of its light',
    PRACTICE,
    'Common practice, no source; five principles of responsible outdoor lighting.',
    'Light that meets nothing is lost and brightens the sky.',
  ),
  stepDark: row(
    'Step too dark',
    'below',
    { note: 5, warn: 2 },
    'lx',
    PRACTICE,
    'Common practice; a design aid, not a requirement for escape routes.',
    'An edge that is not seen is a fall.',
  ),
  waterZone: row(
    'Light inside the water zone',
    'below',
    { note: 5, stop: 3.5 },
    'm',
    MEMORY,
    'IEC 60364-7-702; NEC 411 and 680; from memory, to be verified; local code and a licensed electrician decide.',
    'Electricity near water can kill.',
  ),
  hotNearMulch: row(
    'Hot lamp near mulch or leaves',
    'below',
    { note: 0.3, warn: 0.3 },
    'm',
    PRACTICE,
    'Common practice, no source: within 0.3 m; a note for any lamp in-grade, a warning for halogen.',
    'Hot lamps ignite or melt under mulch and leaves.',
  ),
  transformerLoad: row(
    'Transformer over-full',
    'above',
    { note: 0.7, warn: 0.8, stop: 1 },
    'of its rating',
    PRACTICE,
    'Common practice: 80 % of the rating.',
    'A full transformer runs hot, and its volts fall.',
  ),
  cableCurrent: row(
    'Too much current for this cable',
    'above',
    { note: 0.8, stop: 1 },
    'of its ampacity',
    MEMORY,
    "The cable's own listing governs; default table from memory.",
    'An overloaded cable overheats in the ground.',
  ),
  circuitCurrent: row(
    'Circuit above 25 A',
    'above',
    { note: 20, stop: 25 },
    'A',
    MEMORY,
    'NEC 411, UL 1838, from memory, to be verified. Each run is taken as a secondary circuit of its own.',
    'Above 25 A a low-voltage circuit can start a fire.',
  ),
  noProtection: row(
    'Run without overcurrent protection',
    'above',
    { warn: 1 },
    'run',
    MEMORY,
    "The transformer's listing.",
    'A short in the ground has nothing that interrupts it.',
  ),
  lowVolts: row(
    'Low voltage',
    'below',
    { note: 0.5, warn: 0 },
    'V above its lowest',
    RECORD,
    'Lamp record; computed.',
    'Below its lowest volts a lamp dims, flickers or goes out.',
  ),
  highVolts: row(
    'Voltage too high',
    'above',
    { note: -0.3, warn: 0 },
    'V above its highest',
    RECORD,
    'Lamp record, with all other lamps off, too; 15 V open circuit: UL 1838, from memory.',
    'Too many volts shorten the life of a lamp.',
  ),
  mayNotStart: row(
    'May not start',
    'below',
    { note: 1, warn: 0 },
    'V above its start',
    'computed',
    'Computed, constant power.',
    'Lamps that hold their power draw more as volts fall; a long run may never start.',
  ),
  openQuestion: row(
    'Question to the owner',
    'above',
    { note: 1 },
    'lights that depend on it',
    PRACTICE,
    'No figure: an unanswered question.',
    'What is not known yet may change these lights.',
  ),
};

/** Second criterion of a hot spot, cd/m². Common practice, no source. */
export const HOT_SPOT_LUMINANCE: Readonly<KindLimits> = {
  ...LIMITS.hotSpot,
  note: 25,
  warn: 50,
  unit: 'cd/m²',
};

/** Open-circuit volts above which a tap is a stop. UL 1838, from memory. */
export const OPEN_CIRCUIT_V = 15;
/** Water guard in metres: 3.05 (10 ft) where the region is the US, else 3.5 (edge of zone 2). */
export const waterGuardM = (document: PropertyDocument): number => (document.site.region === 'US' ? 3.05 : 3.5);

const SEVERITIES: readonly Severity[] = ['stop', 'warn', 'note'];

/** Limits of one kind with the user's own put in. */
export function limitsOf(kind: FindingKind, document: PropertyDocument, base: KindLimits = LIMITS[kind]): KindLimits {
  const own = document.review.limits.filter((one) => one.kind === kind);
  const region = kind === 'waterZone' ? { stop: waterGuardM(document) } : {};
  if (own.length === 0) return { ...base, ...region };
  const changed = Object.fromEntries(own.map((one) => [one.severity, one.value]));
  return { ...base, ...region, ...changed, sourceKind: 'your own limit' };
}

/** Severity a value reaches, with the limit it reached; undefined where it reaches none. */
export function severityOf(value: number, limits: KindLimits): { severity: Severity; limit: number } | undefined {
  for (const severity of SEVERITIES) {
    const limit = limits[severity];
    if (limit === undefined) continue;
    if (limits.worse === 'above' ? value >= limit : value < limit) return { severity, limit };
  }
  return undefined;
}
