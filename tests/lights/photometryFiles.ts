/** Writers of photometric files from closed forms, for tests alone. Nothing here comes from a maker's file. */

export const DEG = Math.PI / 180;
export const steps = (from: number, to: number, step: number): number[] =>
  Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) => from + i * step);

export type Intensity = (gammaDeg: number, cDeg: number) => number;
export const cosine: Intensity = (g) => 1000 * Math.max(0, Math.cos(g * DEG));
export const isotropic: Intensity = () => 100;
export const cosPower =
  (n: number): Intensity =>
  (g) =>
    g < 90 ? 1000 * Math.cos(g * DEG) ** n : 0;
/** Symmetric about both planes, none, or one, by its arguments: 500·cosγ·(1 + a·cos C + b·sin C + e·cos 2C). */
export const lobes =
  (a: number, b: number, e = 0): Intensity =>
  (g, c) =>
    500 * Math.max(0, Math.cos(g * DEG)) * (1 + a * Math.cos(c * DEG) + b * Math.sin(c * DEG) + e * Math.cos(2 * c * DEG));

export interface Lm63Options {
  header?: string;
  labels?: string[];
  tilt?: string;
  lamps?: number;
  lumens?: number;
  multiplier?: number;
  type?: number;
  units?: number;
  opening?: [number, number, number];
  tail?: [number, number, number] | 'missing';
  v?: number[];
  h?: number[];
  separator?: string;
  eol?: string;
  perLine?: number;
}

const digits = (x: number): string => String(Number(x.toPrecision(12)));

/** LM-63 text; candela are written divided by all factors given, so that the absolute value stays `I`. */
export function lm63(I: Intensity, options: Lm63Options = {}): string {
  const {
    header = 'IESNA:LM-63-2002',
    labels = ['[TEST] synthetic', '[TESTLAB] none', '[ISSUEDATE] 2026-01-01', '[MANUFAC] invented'],
  } = options;
  const {
    tilt = 'TILT=NONE',
    lamps = 1,
    lumens = -1,
    multiplier = 1,
    type = 1,
    units = 2,
    opening = [0, 0, 0],
    tail = [1, 1, 10],
  } = options;
  const { v = steps(0, 90, 5), h = [0], separator = ' ', eol = '\r\n', perLine = 10 } = options;
  const numbers = (list: number[]): string => {
    const out: string[] = [];
    for (let i = 0; i < list.length; i += perLine)
      out.push(
        list
          .slice(i, i + perLine)
          .map(digits)
          .join(separator),
      );
    return out.join(eol);
  };
  return [
    ...(header ? [header] : []),
    ...labels,
    tilt,
    numbers([lamps, lumens, multiplier, v.length, h.length, type, units, ...opening]),
    ...(tail === 'missing' ? [] : [numbers(tail)]),
    numbers(v),
    numbers(h),
    ...h.map((c) => numbers(v.map((g) => I(g, c)))),
    '',
  ].join(eol);
}

export interface LdtOptions {
  symmetry?: 0 | 1 | 2 | 3 | 4;
  planes?: number;
  gamma?: number[];
  sets?: { count: number; type: string; lm: number; colour: string; cri: string; watts: number }[];
  byField?: boolean;
  factor?: number;
  lorl?: number;
  dff?: number;
  tiltDeg?: number;
  area?: [number, number];
  decimal?: string;
  eol?: string;
}

export const oneSet = { count: 1, type: 'LED', lm: 1000, colour: '2700 K', cri: '90', watts: 12 };

/** EULUMDAT text. `cdPerKlm` is written as it stands. */
export function eulumdat(cdPerKlm: Intensity, options: LdtOptions = {}): string {
  const { symmetry = 1, planes = 24, gamma = steps(0, 180, 5), sets = [oneSet], factor = 1, lorl = 100, dff = 100 } = options;
  const { decimal = '.', eol = '\r\n', area = [0, 0], tiltDeg = 0 } = options;
  const n = (x: number): string => digits(x).replace('.', decimal);
  const cDeg = Array.from({ length: planes }, (_, i) => (360 * i) / planes);
  const first = symmetry === 3 ? (3 * planes) / 4 : 0;
  const count = { 0: planes, 1: 1, 2: planes / 2 + 1, 3: planes / 2 + 1, 4: planes / 4 + 1 }[symmetry];
  const stored = Array.from({ length: count }, (_, k) => cDeg[(first + k) % planes]!);
  const columns = [
    sets.map((s) => String(s.count)),
    sets.map((s) => s.type),
    sets.map((s) => n(s.lm)),
    sets.map((s) => s.colour),
    sets.map((s) => s.cri),
    sets.map((s) => n(s.watts)),
  ];
  const lamps = options.byField ? columns.flat() : sets.flatMap((_, i) => columns.map((column) => column[i]!));
  return [
    'invented, for tests',
    '1',
    String(symmetry),
    String(planes),
    n(planes > 1 ? 360 / planes : 0),
    String(gamma.length),
    n(gamma[1]! - gamma[0]!),
    'no report',
    'synthetic luminaire',
    '0',
    'synthetic',
    '2026-01-01',
    ...['100', '0', '50'],
    ...[n(area[0]), n(area[1])],
    ...['0', '0', '0', '0'],
    n(dff),
    n(lorl),
    n(factor),
    n(tiltDeg),
    String(sets.length),
    ...lamps,
    ...Array.from({ length: 10 }, () => '0'),
    ...cDeg.map(n),
    ...gamma.map(n),
    ...stored.flatMap((c) => gamma.map((g) => n(cdPerKlm(g, c)))),
    '',
  ].join(eol);
}

export const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
export const latin1 = (text: string): Uint8Array => Uint8Array.from(text, (c) => c.charCodeAt(0));

/** The kept files of tests/fixtures/photometry, by name. */
export const keptFiles: Readonly<Record<string, () => string>> = {
  'cosine-1000cd-5deg.ies': () => lm63(cosine),
  'isotropic-100cd.ies': () => lm63(isotropic, { v: steps(0, 180, 10) }),
  'cos-power-36deg.ies': () => lm63(cosPower(13.8127), { v: steps(0, 90, 2.5), lumens: 424.176 }),
  'tilt-include.ies': () =>
    [
      'IESNA:LM-63-1995',
      '[TEST] synthetic, invented for tests',
      'TILT=INCLUDE',
      '1',
      '4',
      '0 45',
      '90 180',
      '1 .9',
      '.8 1',
      '1 1000 1 5 1 1 2 0 0 0',
      '1 1 50',
      '0 22.5 45 67.5 90',
      '0',
      '1000 900 700 400 100',
      '',
    ].join('\r\n'),
  'cosine-two-sets.ldt': () =>
    eulumdat((g) => (1000 / Math.PI) * Math.max(0, Math.cos(g * DEG)), {
      sets: [oneSet, { ...oneSet, count: 2, type: 'LED pair', lm: 2400 }],
    }),
  'lobes-no-symmetry.ldt': () => eulumdat(lobes(0.4, 0.2, 0.1), { symmetry: 0, dff: 100, lorl: 157.08 }),
};
