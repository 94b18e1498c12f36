import { type GoniometerGrid, goniometerFluxLm, mirrorAboutC90, type Planes, toCPlanes } from './planes.ts';
import type { NumberReader } from './tokens.ts';
import { PhotometryError } from './types.ts';

/** Converted tables may lose or gain this share of flux before it is said. */
const CONVERSION_TOLERANCE = 0.01;

/**
 * Angles and candela of an LM-63 file as C planes, by photometric type and symmetry.
 * @throws {PhotometryError} angles out of order or range, a range of no known symmetry, negative candela, a file cut short.
 */
export function lm63Planes(
  reader: NumberReader,
  type: 'A' | 'B' | 'C',
  verticals: number,
  horizontals: number,
  scale: number,
  warnings: string[],
): Planes {
  const [low, high] = type === 'C' ? [0, 180] : [-90, 90];
  const vLine = reader.peek()?.line ?? 0;
  const vDeg = reader.angles(verticals, 'vertical angle', low, high);
  const hLine = reader.peek()?.line ?? 0;
  const hDeg = reader.angles(horizontals, 'horizontal angle', type === 'C' ? 0 : -90, type === 'C' ? 360 : 90);
  const candela = hDeg.map((h) =>
    vDeg.map(
      (v) =>
        scale * reader.checked(`candela at horizontal ${h}, vertical ${v}`, (I) => I >= 0, 'negative; 0 or more is accepted'),
    ),
  );
  if (type === 'C') return typeC(vDeg, hDeg, candela, hLine, warnings);
  return goniometer({ type, hDeg, vDeg, candela }, vLine, hLine, warnings);
}

function typeC(gammaDeg: number[], cDeg: number[], candela: number[][], line: number, warnings: string[]): Planes {
  const first = cDeg[0]!;
  const last = cDeg.at(-1)!;
  const from = gammaDeg[0]!;
  const to = gammaDeg.at(-1)!;
  if ((from !== 0 && from !== 90) || (to !== 90 && to !== 180)) {
    warnings.push(`Vertical angles run from ${from} to ${to}°; the light outside them is taken as 0.`);
  }
  const planes = { cDeg, gammaDeg, candela };
  if (cDeg.length === 1) {
    if (first !== 0) warnings.push(`One horizontal angle, ${first}°: read as the same all round.`);
    return { ...planes, cDeg: [0] };
  }
  if (first === 90 && last === 270) return mirrorAboutC90(planes);
  if (first === 0 && (last === 90 || last > 180)) return planes;
  if (first === 0 && last === 180) return planes;
  const accepted = 'accepted are one angle 0, or 0 to 90, 0 to 180, 90 to 270, or 0 to more than 180';
  throw new PhotometryError(line, String(first), `horizontal angles run from ${first} to ${last}; ${accepted}`);
}

/**
 * Types A and B about the beam axis. Angles from 0 on hold one half of a distribution whose halves are alike: horizontal from
 * 0 mirrors left and right, vertical from 0 mirrors above and below (LM-63 Types A and B, facts.md A.1, from memory).
 */
function goniometer(half: GoniometerGrid, vLine: number, hLine: number, warnings: string[]): Planes {
  const [v0, h0] = [half.vDeg[0]!, half.hDeg[0]!];
  if (v0 > 0 || half.vDeg.at(-1)! <= 0) {
    const accepted = 'vertical angles from -90 to 90, or from 0 to 90 for two halves alike, are accepted';
    throw new PhotometryError(
      vLine,
      String(v0),
      `Type ${half.type} with vertical angles from ${v0} to ${half.vDeg.at(-1)}; ${accepted}`,
    );
  }
  if (half.hDeg.length < 2 || half.hDeg.at(-1)! <= 0) {
    throw new PhotometryError(hLine, String(h0), `Type ${half.type} needs horizontal angles from 0, or from -90, to 90`);
  }
  const beside = h0 === 0 ? mirroredAcross(half) : half;
  const grid = v0 === 0 ? mirroredBelow(beside) : beside;
  if (v0 === 0) warnings.push('Vertical angles start at 0: the half below is read as a mirror image of the half above.');
  if (h0 > 0) throw new PhotometryError(hLine, String(h0), `horizontal angles of Type ${half.type} start at 0 or below`);
  for (const [name, angles] of [
    ['Vertical', half.vDeg],
    ['Horizontal', half.hDeg],
  ] as const) {
    const last = angles.at(-1)!;
    if (last !== 90 || (angles[0] !== -90 && angles[0] !== 0)) {
      warnings.push(`${name} angles run from ${angles[0]} to ${last}°; the light outside them is taken as 0.`);
    }
  }
  const planes = toCPlanes(grid);
  warnings.push(
    `Type ${half.type} photometry is turned into planes about the beam axis; its flux was ${Math.round(goniometerFluxLm(grid))} lm before.`,
  );
  checkConversion(grid, planes, warnings);
  return planes;
}

/** From 0 outward and back: −90 … 0 … 90. */
const bothWays = (deg: readonly number[]): number[] => [
  ...deg
    .slice(1)
    .reverse()
    .map((d) => -d),
  ...deg,
];
const reflected = <T>(half: readonly T[]): T[] => [...half.slice(1).reverse(), ...half];

function mirroredAcross({ type, hDeg, vDeg, candela }: GoniometerGrid): GoniometerGrid {
  return { type, vDeg, hDeg: bothWays(hDeg), candela: reflected(candela) };
}

function mirroredBelow({ type, hDeg, vDeg, candela }: GoniometerGrid): GoniometerGrid {
  return { type, hDeg, vDeg: bothWays(vDeg), candela: candela.map(reflected) };
}

function checkConversion(grid: GoniometerGrid, planes: Planes, warnings: string[]): void {
  const most = Math.max(...grid.candela.map((row) => Math.max(...row)));
  const kept = Math.max(...planes.candela.map((row) => Math.max(...row)));
  if (most > 0 && Math.abs(kept / most - 1) > CONVERSION_TOLERANCE) {
    warnings.push(`The highest candela between the new planes reads ${Math.round(kept)}, in the file ${Math.round(most)} cd.`);
  }
}
