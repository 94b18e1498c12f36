import { lm63Planes } from './lm63Angles.ts';
import { generationMeaning, lm63Version, openingRadiusM, readLabels } from './lm63Labels.ts';
import { MOST_ANGLES, summarise } from './summary.ts';
import { NumberReader } from './tokens.ts';
import { type Photometry, PhotometryError, type PhotometryFormat, type TiltFactors } from './types.ts';

const TYPES = { 1: 'C', 2: 'B', 3: 'A' } as const;
const FOOT_M = 0.3048;

interface Header {
  lampCount: number;
  lumensPerLamp: number;
  multiplier: number;
  verticals: number;
  horizontals: number;
  type: 'A' | 'B' | 'C';
  unitM: number;
  opening: readonly [number, number, number];
  ballastFactor: number;
  field12: number;
  inputW: number | undefined;
}

/**
 * Reads an LM-63 file (1986, 1991, 1995, 2002, 2019) whole.
 *
 *     I = value × multiplier × ballast factor × (ballast-lamp photometric factor, up to 1995 only)
 *
 * Field 12 of 2002 ("future use") and of 2019 (kind of file) never scales. Lumens are no scale either: −1 says that the
 * photometry is absolute. TILT factors are kept and said, not applied: a lamp record holds one output for every aim. Type C with its symmetries; Types A and B are turned into C planes about the beam axis.
 *
 * @throws {PhotometryError} with line and token.
 * @source facts.md 1.1 to 1.7 (open readers of the format; LM-63-2002 where named).
 * @see tests/lights/photometry.lm63.test.ts
 */
export function readLm63(lines: readonly string[], warnings: string[] = []): Photometry {
  const tiltAt = lines.findIndex((line) => /^\s*TILT\s*=/i.test(line));
  if (tiltAt < 0) {
    throw new PhotometryError(
      lines.length,
      '',
      'no line "TILT=" found; an LM-63 file has TILT=NONE or TILT=INCLUDE after its labels',
    );
  }
  const version = lm63Version(lines, warnings);
  const labels = readLabels(lines, tiltAt, version !== 'LM-63-1986');
  const reader = new NumberReader(lines, tiltAt + 1);
  try {
    const tilt = readTilt(lines[tiltAt]!, tiltAt + 1, reader);
    if (tilt) warnings.push(tiltSentence(tilt));
    const header = readHeader(reader, version, warnings);
    const scale = header.multiplier * header.ballastFactor * fieldTwelveScale(header.field12, version, warnings);
    const planes = lm63Planes(reader, header.type, header.verticals, header.horizontals, scale, warnings);
    checkRest(reader, header.verticals * header.horizontals, warnings);
    const absolute = header.lumensPerLamp === -1;
    return summarise({
      format: version,
      planes,
      declaredFluxLm: absolute || header.lumensPerLamp === 0 ? undefined : header.lampCount * header.lumensPerLamp,
      declaredOf: 'lamp',
      warnings,
      metadata: {
        ...labels,
        photometricType: header.type,
        lampCount: header.lampCount,
        lumensPerLamp: absolute ? undefined : header.lumensPerLamp,
        inputW: header.inputW,
        openingRadiusM: openingRadiusM(header.opening, header.unitM),
        tilt,
        fileGeneration: version === 'LM-63-2019' ? generationMeaning(header.field12) : undefined,
        lampSets: [],
        symmetry: undefined,
      },
    });
  } catch (error) {
    throw withCommaHint(error, reader);
  }
}

/** Decimal commas fall apart into two numbers; say so where a count or an angle then goes wrong. */
function withCommaHint(error: unknown, reader: NumberReader): unknown {
  const comma = reader.commaBetweenDigits;
  if (!(error instanceof PhotometryError) || !comma) return error;
  const reason = error.message.replace(/^line \d+(?:, "[^"]*")?: /, '');
  const hint = `(line ${comma.line} holds "${comma.text}": LM-63 takes the comma as a separator; decimals need a point)`;
  return new PhotometryError(error.line, error.token, `${reason} ${hint}`);
}

function readTilt(line: string, lineNumber: number, reader: NumberReader): TiltFactors | undefined {
  const value = line.slice(line.indexOf('=') + 1).trim();
  if (/^NONE$/i.test(value)) return undefined;
  if (!/^INCLUDE$/i.test(value)) {
    throw new PhotometryError(lineNumber, value, 'TILT names another file; TILT=NONE or TILT=INCLUDE is accepted');
  }
  const lampToLuminaire = reader.checked(
    'lamp-to-luminaire geometry',
    (v) => v === 1 || v === 2 || v === 3,
    '1, 2 or 3 is accepted',
  );
  const pairs = reader.checked(
    'number of tilt angles',
    (v) => Number.isInteger(v) && v >= 1 && v <= MOST_ANGLES,
    `a whole number from 1 to ${MOST_ANGLES} is accepted`,
  );
  const anglesDeg = reader.angles(pairs, 'tilt angle', -180, 360);
  const factors = anglesDeg.map((_, i) =>
    reader.checked(`tilt factor ${i + 1} of ${pairs}`, (v) => v > 0, 'a factor above 0 is accepted'),
  );
  return { lampToLuminaire: lampToLuminaire as 1 | 2 | 3, anglesDeg, factors };
}

const LAMP_STANDS = { 1: 'vertical', 2: 'horizontal, whatever the aim', 3: 'horizontal, turning with the aim' } as const;

/** What the file knows of its lamp's position and is not applied: candela stay as measured, whichever way the light is aimed. */
function tiltSentence({ lampToLuminaire, anglesDeg, factors }: TiltFactors): string {
  const pairs = anglesDeg.map((angle, i) => `${factors[i]} at ${angle}°`).join(', ');
  const stands = LAMP_STANDS[lampToLuminaire];
  return `Output of this lamp changes with its position (TILT=INCLUDE, lamp ${stands}: ${pairs}). Not applied: the candela are used as measured; multiply by the factor of the aim by hand (dim) where it matters.`;
}

function readHeader(reader: NumberReader, version: PhotometryFormat, warnings: string[]): Header {
  const whole = (what: string, least: number): number =>
    reader.checked(
      what,
      (v) => Number.isInteger(v) && v >= least && v <= MOST_ANGLES,
      `a whole number from ${least} to ${MOST_ANGLES} is accepted`,
    );
  const lampCount = reader.checked(
    'number of lamps',
    (v) => Number.isInteger(v) && v >= 1,
    'a whole number of 1 or more is accepted',
  );
  const lumensPerLamp = reader.checked(
    'lumens per lamp',
    (v) => v >= 0 || v === -1,
    'a number of 0 or more, or -1 for absolute photometry, is accepted',
  );
  if (lumensPerLamp === 0) warnings.push('The header gives 0 lumens per lamp; nothing to compare the candela with.');
  const multiplier = reader.checked('candela multiplier', (v) => v > 0, 'a number above 0 is accepted');
  const verticals = whole('number of vertical angles', 2);
  const horizontals = whole('number of horizontal angles', 1);
  const type = reader.checked('photometric type', (v) => v === 1 || v === 2 || v === 3, '1 (C), 2 (B) or 3 (A) is accepted');
  const units = reader.checked('units', (v) => v === 1 || v === 2, '1 (feet) or 2 (metres) is accepted');
  const opening = [
    reader.number('width of the opening'),
    reader.number('length of the opening'),
    reader.number('height of the opening'),
  ] as const;
  const base = {
    lampCount,
    lumensPerLamp,
    multiplier,
    verticals,
    horizontals,
    type: TYPES[type as 1 | 2 | 3],
    unitM: units === 1 ? FOOT_M : 1,
    opening,
  };
  if (reader.numbersLeft === verticals + horizontals + verticals * horizontals) {
    warnings.push('The line with ballast factor and watts is missing; factor 1 is used.');
    return { ...base, ballastFactor: 1, field12: 1, inputW: undefined };
  }
  return {
    ...base,
    ballastFactor: reader.checked('ballast factor', (v) => v > 0, 'a number above 0 is accepted'),
    field12: reader.checked(
      version === 'LM-63-2019' ? 'file generation type' : 'ballast-lamp photometric factor',
      (v) => v > 0,
      'a number above 0 is accepted',
    ),
    inputW: reader.checked('input watts', (v) => v >= 0, 'a number of 0 or more is accepted'),
  };
}

function fieldTwelveScale(value: number, version: PhotometryFormat, warnings: string[]): number {
  if (version === 'LM-63-2019') return 1;
  if (version !== 'LM-63-2002') return value;
  if (value !== 1) warnings.push(`The field kept for future use is ${value}, not 1; it does not scale the candela.`);
  return 1;
}

/** Numbers beyond the stated counts mean that the counts are wrong; other text is only said. */
function checkRest(reader: NumberReader, values: number, warnings: string[]): void {
  const rest = reader.peek();
  if (!rest) return;
  const more = reader.numbersLeft;
  if (more > 0) {
    throw new PhotometryError(
      rest.line,
      rest.text,
      `${more} more ${more === 1 ? 'number' : 'numbers'} after the ${values} candela that the counts of the header ask for`,
    );
  }
  warnings.push(`Text after the candela (line ${rest.line}) is left out.`);
}
