import { LineReader } from './eulumdatLines.ts';
import { backwardShare, mirrorAboutC90, type Planes } from './planes.ts';
import { MOST_ANGLES, summarise } from './summary.ts';
import { type LampSet, type Photometry, PhotometryError } from './types.ts';

/** Percent points by which the stated light output ratio or downward share may miss the table before it is said. */
const RATIO_TOLERANCE = 2;
const MOST_SETS = 20;
const RATIOS = 10;

interface Head {
  symmetry: number;
  planeCount: number;
  angleCount: number;
  lumName: string;
  texts: { key: string; value: string }[];
  openingM: readonly [length: number, width: number];
  downwardShare: number | undefined;
  outputRatio: number | undefined;
  factor: number;
}

/**
 * Reads a EULUMDAT file whole; one value a line.
 *
 *     I = value × total lamp lumens / 1000 × conversion factor
 *
 * Lamp sets are the equipments a luminaire may have: the first is used and the others are named. A negative lamp count
 * says absolute photometry (from memory, medium confidence): its lumens are those of the luminaire.
 * Symmetry 0 none, 1 axis, 2 plane C0–C180, 3 plane C90–C270, 4 both. C angles run as in LM-63: counter to the clock seen
 * from above a luminaire that looks down (from behind the light). The published field list does not say it; taken from the
 * C-γ system of CIE 121 and EN 13032-1 and its use for road luminaires, C0 along the kerb to the right of who stands behind
 * it and C90 toward the road, both from memory, medium confidence.
 *
 * @throws {PhotometryError} with line and token.
 * @source facts.md 1.8, after Stockmar 1990 and 1998 as reported by open readers.
 * @see tests/lights/photometry.eulumdat.test.ts
 */
export function readEulumdat(lines: readonly string[], warnings: string[] = []): Photometry {
  const reader = new LineReader(lines, warnings);
  const head = readHead(reader, warnings);
  const sets = readSets(reader, warnings);
  for (let i = 0; i < RATIOS; i++) reader.optional(`direct ratio ${i + 1} of ${RATIOS}`);
  const cDeg = reader.angles(head.planeCount, 'C angle', 360);
  const gammaDeg = reader.angles(head.angleCount, 'γ angle', 180);
  const stored = storedPlanes(head.symmetry, cDeg, reader.lineOf(3));
  const perKlm = stored.map((c) => gammaDeg.map((g) => reader.intensity(`cd/klm at C ${c}, γ ${g}`)));
  reader.expectEnd(stored.length * gammaDeg.length);
  const set = sets[0]!;
  const scale = (set.fluxLm / 1000) * head.factor;
  const planes = unfold(
    head.symmetry,
    stored,
    gammaDeg,
    perKlm.map((row) => row.map((v) => v * scale)),
  );
  if (gammaDeg[0] !== 0 || gammaDeg.at(-1)! < 90) {
    warnings.push(`γ runs from ${gammaDeg[0]} to ${gammaDeg.at(-1)}°; the light outside is taken as 0.`);
  }
  const ratio = head.outputRatio === undefined || head.outputRatio === 0 ? 100 : head.outputRatio;
  const read = summarise({
    format: 'EULUMDAT',
    planes,
    declaredFluxLm: set.fluxLm > 0 ? (set.fluxLm * ratio) / 100 : undefined,
    declaredOf: 'luminaire',
    warnings,
    metadata: {
      name: head.lumName,
      keywords: head.texts,
      photometricType: 'C',
      lampCount: Math.abs(set.count),
      lumensPerLamp: set.count < 0 ? undefined : set.fluxLm,
      inputW: set.powerW > 0 ? set.powerW : undefined,
      openingRadiusM: openingRadius(head.openingM),
      cctK: cctOf(set.colour),
      colourRendering: renderingOf(set.rendering),
      tilt: undefined,
      fileGeneration: undefined,
      lampSets: sets,
      symmetry: head.symmetry,
    },
  });
  checkRatios(read, head, set, warnings);
  return read;
}

function readHead(reader: LineReader, warnings: string[]): Head {
  const company = reader.text();
  reader.whole('type indicator', 0, 3);
  const symmetry = reader.whole('symmetry indicator', 0, 4);
  const planeCount = reader.whole('number of C planes', 1, MOST_ANGLES);
  reader.optional('spacing of C planes');
  const angleCount = reader.whole('number of intensities a plane', 2, MOST_ANGLES);
  reader.optional('spacing of intensities');
  const keys = ['REPORT', 'LUMINAIRE', 'LUMINAIRE NUMBER', 'FILE NAME', 'DATE AND USER'];
  const texts = [{ key: 'COMPANY', value: company }, ...keys.map((key) => ({ key, value: reader.text() }))];
  for (const what of ['length', 'width', 'height']) reader.optional(`${what} of the luminaire`);
  const length = reader.optional('length of the luminous area') ?? 0;
  const width = reader.optional('width of the luminous area') ?? 0;
  for (const plane of ['C0', 'C90', 'C180', 'C270']) reader.optional(`height of the luminous area at ${plane}`);
  const downwardShare = reader.optional('downward flux fraction');
  const outputRatio = reader.optional('light output ratio');
  const written = reader.optional('conversion factor');
  if (written !== undefined && written < 0) throw reader.refusal('conversion factor: 0 or more is accepted');
  const factor = written || 1;
  if (!written) warnings.push('The conversion factor is 0 or missing; 1 is used.');
  const tilt = reader.optional('tilt during measurement');
  if (tilt) warnings.push(`Measured tilted by ${tilt}°; the angles are used as they stand.`);
  const openingM = [length / 1000, width / 1000] as const;
  return { symmetry, planeCount, angleCount, lumName: texts[2]!.value, texts, openingM, downwardShare, outputRatio, factor };
}

/** Sets stand one after the other, six lines each; some writers list field by field instead. */
function readSets(reader: LineReader, warnings: string[]): LampSet[] {
  const n = reader.whole('number of lamp sets', 1, MOST_SETS);
  const start = reader.mark();
  let sets: LampSet[];
  try {
    sets = Array.from({ length: n }, () => readSet(reader));
  } catch (error) {
    if (n === 1 || !(error instanceof PhotometryError)) throw error;
    reader.back(start);
    sets = readByField(reader, n, error);
    warnings.push('Lamp sets are listed field by field.');
  }
  if (n > 1) {
    const all = sets.map((set) => `${set.count < 0 ? '' : `${set.count} × `}${set.type || 'lamp'}, ${set.fluxLm} lm`).join('; ');
    warnings.push(`The file lists ${n} lamp sets (${all}). They are read as a choice; the first is used.`);
  }
  return sets;
}

const countOf = (reader: LineReader): number => reader.whole('number of lamps', -1000, 1000);
const fluxOf = (reader: LineReader): number => reader.least('total lumens of the lamps', 0);
const powerOf = (reader: LineReader): number => reader.optional('watts with ballast') ?? 0;

function readSet(reader: LineReader): LampSet {
  const count = countOf(reader);
  const type = reader.text();
  const fluxLm = fluxOf(reader);
  const colour = reader.text();
  return { count, type, fluxLm, colour, rendering: reader.text(), powerW: powerOf(reader) };
}

function readByField(reader: LineReader, n: number, first: PhotometryError): LampSet[] {
  const column = <T>(read: (reader: LineReader) => T): T[] => Array.from({ length: n }, () => read(reader));
  try {
    const count = column(countOf);
    const type = column((r) => r.text());
    const fluxLm = column(fluxOf);
    const colour = column((r) => r.text());
    const rendering = column((r) => r.text());
    const powerW = column(powerOf);
    return count.map((c, i) => ({
      count: c,
      type: type[i]!,
      fluxLm: fluxLm[i]!,
      colour: colour[i]!,
      rendering: rendering[i]!,
      powerW: powerW[i]!,
    }));
  } catch {
    throw first;
  }
}

/**
 * C angles whose planes the file holds: all, one, C0–C180, C270–C90 through 0, C0–C90 (facts.md 1.8).
 * @throws {PhotometryError} a plane count that the symmetry cannot halve, or planes that miss the symmetry's own.
 */
function storedPlanes(symmetry: number, cDeg: readonly number[], line: number): number[] {
  const n = cDeg.length;
  if (symmetry === 0) return [...cDeg];
  if (symmetry === 1) return [cDeg[0]!];
  const parts = symmetry === 2 ? 2 : 4;
  if (n % parts !== 0) {
    throw new PhotometryError(
      line,
      String(n),
      `${n} C planes cannot have symmetry ${symmetry}; a multiple of ${parts} is accepted`,
    );
  }
  const first = symmetry === 3 ? (3 * n) / 4 : 0;
  const count = symmetry === 4 ? n / 4 + 1 : n / 2 + 1;
  const stored = Array.from({ length: count }, (_, k) => cDeg[(first + k) % n]!);
  const [from, to] = symmetry === 2 ? [0, 180] : symmetry === 3 ? [270, 90] : [0, 90];
  if (Math.abs(stored[0]! - from) > 0.01 || Math.abs(stored.at(-1)! - to) > 0.01) {
    const found = `planes from C${stored[0]} to C${stored.at(-1)}`;
    throw new PhotometryError(
      line,
      String(n),
      `symmetry ${symmetry} asks for planes from C${from} to C${to}; the file has ${found}`,
    );
  }
  return stored;
}

function unfold(symmetry: number, stored: number[], gammaDeg: number[], candela: number[][]): Planes {
  if (symmetry === 1) return { cDeg: [0], gammaDeg, candela };
  if (symmetry === 3) return mirrorAboutC90({ cDeg: stored, gammaDeg, candela });
  if (symmetry === 0 && stored.length === 1) return { cDeg: [0], gammaDeg, candela };
  return { cDeg: stored, gammaDeg, candela };
}

function checkRatios(read: Photometry, head: Head, set: LampSet, warnings: string[]): void {
  if (read.fluxLm <= 0) return;
  if (head.outputRatio !== undefined && head.outputRatio > 0 && set.fluxLm > 0) {
    const found = (100 * read.fluxLm) / (set.fluxLm * head.factor);
    if (Math.abs(found - head.outputRatio) > RATIO_TOLERANCE) {
      warnings.push(`The light output ratio says ${head.outputRatio} %, the table gives ${found.toFixed(1)} %.`);
    }
  }
  if (head.downwardShare === undefined) return;
  const down = 100 * (1 - backwardShare(read.table));
  if (Math.abs(down - head.downwardShare) > RATIO_TOLERANCE) {
    warnings.push(`The downward fraction says ${head.downwardShare} %, the table gives ${down.toFixed(1)} %.`);
  }
}

function openingRadius([length, width]: readonly [number, number]): number {
  return width === 0 ? Math.abs(length) / 2 : Math.sqrt(Math.abs(length * width) / Math.PI);
}

/** `2700K`, `827/2700 K`, `3000`: the first number that is a colour temperature. */
function cctOf(colour: string): number | undefined {
  const found = colour
    .match(/\d{4,5}/g)
    ?.map(Number)
    .find((k) => k >= 1000 && k <= 20000);
  return found;
}

function renderingOf(text: string): number | undefined {
  const value = /^\s*(?:R?a\s*)?[>≥]?\s*(\d{2,3})\s*$/i.exec(text)?.[1];
  return value !== undefined && Number(value) <= 100 ? Number(value) : undefined;
}
