import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PHOTOMETRY_MAX_BYTES, type Photometry, PhotometryError, readPhotometry } from '../../src/lights/photometry/index.ts';
import { bytes, cosine, eulumdat, keptFiles, latin1, lm63, lobes, steps } from './photometryFiles.ts';

const good = lm63(cosine);
const goodLdt = eulumdat(cosine);
/** The refusal of a file. */
function refusal(content: string | Uint8Array, name = 'x.ies'): PhotometryError {
  try {
    readPhotometry(typeof content === 'string' ? bytes(content) : content, name);
  } catch (error) {
    expect(error).toBeInstanceOf(PhotometryError);
    return error as PhotometryError;
  }
  throw new Error('was read');
}
/** LM-63 with line n (1-based) replaced. Lines 7 and 8 are header, 9 and 10 vertical angles, 11 horizontal, 12 and 13 candela. */
const withLine = (n: number, line: string): string =>
  good
    .split('\r\n')
    .map((old, i) => (i === n - 1 ? line : old))
    .join('\r\n');
const withLdt = (n: number, line: string): string =>
  goodLdt
    .split('\r\n')
    .map((old, i) => (i === n - 1 ? line : old))
    .join('\r\n');

describe('LM-63: one sentence with line and token', () => {
  it('lines are where this file expects them', () => {
    const lines = good.split('\r\n');
    expect(lines[6]).toBe('1 -1 1 19 1 1 2 0 0 0');
    expect(lines[10]).toBe('0');
    expect(lines[11]).toMatch(/^1000 /);
  });
  it.each([
    ['empty', '', 0, '', /the file is empty/],
    ['blanks only', ' \r\n\r\n', 0, '', /holds blanks only/],
    ['cut in the labels', good.slice(0, 40), 3, '', /no line "TILT="/],
    ['cut in the header', good.split('\r\n').slice(0, 7).join('\r\n'), 7, '', /the file ends here; ballast factor/],
    [
      'cut in the candela',
      good.split('\r\n').slice(0, 12).join('\r\n'),
      12,
      '',
      /the file ends here; candela at horizontal 0, vertical 50 expected/,
    ],
    [
      'a word for a number',
      withLine(12, '1000 nine 8 7 6 5 4 3 2 1'),
      12,
      'nine',
      /candela at horizontal 0, vertical 5: expected a number/,
    ],
    ['hexadecimal', withLine(12, '0x10 9 8 7 6 5 4 3 2 1'), 12, '0x10', /expected a number/],
    ['Infinity', withLine(12, 'Infinity 9 8 7 6 5 4 3 2 1'), 12, 'Infinity', /expected a number/],
    ['beyond all numbers', withLine(12, '1e999 9 8 7 6 5 4 3 2 1'), 12, '1e999', /too large/],
    [
      'descending angles',
      withLine(9, '0 5 10 15 20 25 30 45 40 35'),
      9,
      '40',
      /vertical angle 9 of 19 follows 45; angles must ascend/,
    ],
    ['an angle twice', withLine(9, '0 5 10 15 20 25 30 30 40 45'), 9, '30', /follows 30; angles must ascend/],
    ['an angle out of range', withLine(10, '50 55 60 65 70 75 80 85 190'), 10, '190', /0 to 180 degrees/],
    ['negative candela', withLine(12, '1000 -9 8 7 6 5 4 3 2 1'), 12, '-9', /vertical 5: negative; 0 or more is accepted/],
    ['one angle too many stated', withLine(7, '1 -1 1 20 1 1 2 0 0 0'), 11, '0', /vertical angle 20 of 20 follows 90/],
    ['one plane too many stated', withLine(7, '1 -1 1 19 2 1 2 0 0 0'), 12, '1000', /horizontal angle 2 of 2: 0 to 360/],
    ['more candela than stated', `${good}17 18\r\n`, 14, '17', /2 more numbers after the 19 candela/],
    ['no planes', withLine(7, '1 -1 1 19 0 1 2 0 0 0'), 7, '0', /number of horizontal angles: a whole number from 1 to 721/],
    ['half a plane', withLine(7, '1 -1 1 19 1.5 1 2 0 0 0'), 7, '1.5', /whole number/],
    ['a million angles', withLine(7, '1 -1 1 1000000 1 1 2 0 0 0'), 7, '1000000', /from 2 to 721/],
    ['lumens −2', withLine(7, '1 -2 1 19 1 1 2 0 0 0'), 7, '-2', /-1 for absolute photometry/],
    ['multiplier 0', withLine(7, '1 -1 0 19 1 1 2 0 0 0'), 7, '0', /candela multiplier: a number above 0/],
    ['type 4', withLine(7, '1 -1 1 19 1 4 2 0 0 0'), 7, '4', /1 \(C\), 2 \(B\) or 3 \(A\)/],
    ['units 0', withLine(7, '1 -1 1 19 1 1 0 0 0 0'), 7, '0', /1 \(feet\) or 2 \(metres\)/],
    ['negative watts', withLine(8, '1 1 -5'), 8, '-5', /input watts/],
    ['ballast factor 0', withLine(8, '0 1 5'), 8, '0', /ballast factor/],
    ['no number between commas', withLine(12, '1000,,8,7,6,5,4,3,2,1'), 12, ',,', /two commas/],
    ['TILT in another file', good.replace('TILT=NONE', 'TILT=lamp.tlt'), 6, 'lamp.tlt', /names another file/],
    ['TILT with nothing', good.replace('TILT=NONE', 'TILT='), 6, '', /TILT=NONE or TILT=INCLUDE is accepted/],
    ['factors that overflow', withLine(7, '1 -1 1e300 19 1 1 2 0 0 0'), 0, '', /exceed 1,000,000,000 cd/],
  ])('%s', (_, text, line, token, words) => {
    const e = refusal(text);
    expect(e.message).toMatch(words);
    expect(e.line).toBe(line);
    expect(e.token).toBe(token);
    expect(e.message).not.toContain('\n');
    if (line > 0) expect(e.message.startsWith(`line ${line}`)).toBe(true);
  });

  it('decimal commas: the refusal says that a comma separates', () => {
    const e = refusal(lm63(cosine, { v: steps(0, 90, 2.5) }).replaceAll('.', ','));
    expect(e.message).toMatch(/holds "2,5": LM-63 takes the comma as a separator; decimals need a point/);
  });
});

describe('EULUMDAT: one sentence with line and token', () => {
  it.each([
    ['cut in the head', goodLdt.split('\r\n').slice(0, 20).join('\r\n'), 20, '', /the file ends here/],
    [
      'cut in the intensities',
      goodLdt.split('\r\n').slice(0, 120).join('\r\n'),
      120,
      '',
      /the file ends here; cd\/klm at C 0, γ 85 expected/,
    ],
    ['a word for a number', withLdt(4, 'many'), 4, 'many', /number of C planes: expected a number/],
    ['a blank for a count', withLdt(6, ''), 6, '', /number of intensities a plane: the line is blank/],
    ['symmetry 5', withLdt(3, '5'), 3, '5', /symmetry indicator: a whole number from 0 to 4/],
    ['symmetry of other planes', withLdt(4, '23'), 66, '345', /.+/],
    ['one intensity more stated', withLdt(6, '38'), 104, '318.309886184', /.+/],
    ['descending C angles', withLdt(45, '10'), 45, '10', /C angle 3 of 24 follows 15; angles must ascend/],
    ['descending γ', withLdt(69, '4'), 69, '4', /γ angle 3 of 37 follows 5/],
    ['negative intensity', withLdt(105, '-3'), 105, '-3', /cd\/klm at C 0, γ 5: negative/],
    ['lumens below 0', withLdt(29, '-10'), 29, '-10', /total lumens of the lamps: 0 or more/],
    ['no lamp set', withLdt(26, '0'), 26, '0', /number of lamp sets: a whole number from 1 to 20/],
    ['more intensities', `${goodLdt}5\r\n6`, 141, '5', /more numbers after the 37 intensities/],
    ['a negative factor', withLdt(24, '-1'), 24, '-1', /conversion factor/],
    ['no photometry at all', 'Dear sir,\nplease find', 2, 'please find', /type indicator: expected a number/],
  ])('%s', (name, text, line, token, words) => {
    const e = refusal(text, 'x.ldt');
    expect(e.message).toMatch(words);
    if (name.includes('stated') || name.includes('of other')) expect(e.line).toBeGreaterThan(0);
    else {
      expect(e.line).toBe(line);
      expect(e.token).toBe(token);
    }
  });
});

describe('bytes that are no plain text', () => {
  it('50 MB are refused at once, with the limit named', () => {
    const begun = performance.now();
    expect(refusal(new Uint8Array(50 * 1024 * 1024)).message).toMatch(/50\.0 MB; photometric files up to 8 MB are read/);
    expect(performance.now() - begun).toBeLessThan(1000);
    expect(PHOTOMETRY_MAX_BYTES).toBe(8 * 1024 * 1024);
  });
  it('NUL bytes: line and place', () => {
    const e = refusal(bytes(good.replace('TILT', '\0TILT')));
    expect(e.message).toMatch(/line 6, "NUL": a NUL byte at byte \d+/);
  });
  const utf16 = (text: string, big: boolean): number[] =>
    [...text].flatMap((c) =>
      big ? [c.charCodeAt(0) >> 8, c.charCodeAt(0) & 255] : [c.charCodeAt(0) & 255, c.charCodeAt(0) >> 8],
    );
  it('UTF-8 with its mark and UTF-16 with its mark are read; UTF-16 without is refused', () => {
    const flux = readPhotometry(bytes(good)).fluxLm;
    expect(readPhotometry(bytes(`\ufeff${good}`)).fluxLm).toBe(flux);
    expect(readPhotometry(bytes(`\ufeff${good}`)).format).toBe('LM-63-2002');
    for (const big of [false, true]) {
      expect(readPhotometry(Uint8Array.from([...(big ? [0xfe, 0xff] : [0xff, 0xfe]), ...utf16(good, big)])).fluxLm).toBe(flux);
      expect(refusal(Uint8Array.from(utf16(good, big))).message).toMatch(/UTF-16 without its mark; save it as plain text/);
    }
  });
  it('ISO 8859-1 labels are kept and said', () => {
    const r = readPhotometry(latin1(good.replace('[MANUFAC] invented', '[LUMINAIRE] Gerät für Prüfungen')));
    expect(r.metadata.name).toBe('Gerät für Prüfungen');
    expect(r.warnings.join()).toContain('ISO 8859-1');
  });
  it('Japanese in two bytes a letter does no harm to the numbers', () => {
    const sjis = Uint8Array.from([
      ...bytes('IESNA:LM-63-2002\r\n[LUMINAIRE] '),
      0x8f,
      0xc6,
      0x96,
      0xbe,
      ...bytes(good.slice(good.indexOf('\r\nTILT'))),
    ]);
    expect(readPhotometry(sjis).fluxLm).toBeCloseTo(3139.597, 2);
  });
});

/** Damaged in some way or not, a file is read to finite figures or refused by line: nothing else. */
function readOrRefuse(content: Uint8Array, name: string): void {
  let r: Photometry;
  try {
    r = readPhotometry(content, name);
  } catch (error) {
    if (!(error instanceof PhotometryError)) throw error;
    expect(error.message).not.toContain('\n');
    expect(Number.isInteger(error.line)).toBe(true);
    return;
  }
  for (const v of [r.fluxLm, r.peakCd, r.beamAngleFullDeg, r.fieldAngleFullDeg]) expect(v >= 0 && Number.isFinite(v)).toBe(true);
  expect(r.table.candela).toHaveLength(r.table.cDeg.length);
  for (const row of r.table.candela) expect(row).toHaveLength(r.table.gammaDeg.length);
}

describe('damage at random, seed 20260301', () => {
  const files = [
    good,
    goodLdt,
    ...Object.values(keptFiles).map((make) => make()),
    lm63(lobes(0.3, 0), { h: steps(0, 180, 45), type: 2, v: steps(-90, 90, 30) }),
  ];
  const damage = fc.record({
    file: fc.nat(files.length - 1),
    cuts: fc.array(
      fc.tuple(
        fc.nat(3000),
        fc.nat(20),
        fc.oneof(fc.string({ maxLength: 6 }), fc.constantFrom('-1', ',', '\r\n', '0', '1e9', 'NaN', '\t', '\x1a', '721')),
      ),
      {
        maxLength: 4,
      },
    ),
  });
  it('text: cut, doubled, replaced', () => {
    fc.assert(
      fc.property(damage, ({ file, cuts }) => {
        let text = files[file]!;
        for (const [at, length, put] of cuts) {
          const k = at % (text.length + 1);
          text = text.slice(0, k) + put + text.slice(k + length);
        }
        readOrRefuse(bytes(text), file % 2 ? 'x.ldt' : 'x.ies');
      }),
      { seed: 20260301, numRuns: 1500 },
    );
  });
  it('bytes of any kind', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), fc.boolean(), (content, ldt) =>
        readOrRefuse(content, ldt ? 'x.ldt' : 'x.ies'),
      ),
      { seed: 20260301, numRuns: 500 },
    );
  });
  it('numbers of any kind after TILT=NONE', () => {
    fc.assert(
      fc.property(
        fc.array(fc.oneof(fc.integer({ min: -2, max: 200 }), fc.double(), fc.constantFrom(1, 2, 0, 90)), { maxLength: 80 }),
        (numbers) => readOrRefuse(bytes(`IESNA91\nTILT=NONE\n${numbers.join(' ')}`), 'x.ies'),
      ),
      { seed: 20260301, numRuns: 800 },
    );
  });
});
