import type { DistributionRecord } from '../scene/index.ts';

type TableRecord = Extract<DistributionRecord, { kind: 'table' }>;

const DEG = Math.PI / 180;

/** Exponent of the cosⁿ lobe whose full angle to half intensity is B: n = ln ½ / ln cos(B/2). */
export function beamExponent(beamAngleFullDeg: number): number {
  return Math.log(0.5) / Math.log(Math.cos((beamAngleFullDeg / 2) * DEG));
}

/**
 * Luminous intensity of a distribution in one direction.
 *
 *     I(θ) = (1−s)·Φ(n+1)/2π · cosⁿθ + s·(Φ/π)·cosθ      model, θ < 90°, else 0
 *
 * Tables are read by linear interpolation in γ and C; outside their γ range they are dark.
 *
 * @param gammaRad angle from the beam axis, 0…π.
 * @param cRad angle round the axis, from the C0 plane; any value.
 * @returns candela.
 * @source model: cosⁿ algebra of facts.md 3.2 (computed); definition of beam angle CIE S 017.
 * @see tests/lights/distribution.test.ts
 */
export function candelaAt(distribution: DistributionRecord, gammaRad: number, cRad = 0): number {
  if (distribution.kind === 'table') return tableCandela(distribution, gammaRad / DEG, cRad / DEG);
  const cosTheta = Math.cos(gammaRad);
  if (cosTheta <= 0) return 0;
  const { fluxLm: Phi, spillShare: s } = distribution;
  const n = beamExponent(distribution.beamAngleFullDeg);
  return ((1 - s) * Phi * (n + 1) * cosTheta ** n) / (2 * Math.PI) + (s * Phi * cosTheta) / Math.PI;
}

function tableCandela(table: TableRecord, gammaDeg: number, cDeg: number): number {
  const g = table.gammaDeg;
  const last = g.length - 1;
  if (gammaDeg < g[0]! - 1e-9 || gammaDeg > g[last]! + 1e-9) return 0;
  const i = spanOf(g, gammaDeg);
  const f = g[i + 1]! > g[i]! ? Math.min(1, Math.max(0, (gammaDeg - g[i]!) / (g[i + 1]! - g[i]!))) : 0;
  const plane = (c: number): number => {
    const row = table.candela[c] ?? [];
    return (row[i] ?? 0) * (1 - f) + (row[i + 1] ?? 0) * f;
  };
  const c = planesAt(table.cDeg, cDeg);
  return c.f === 0 ? plane(c.a) : plane(c.a) * (1 - c.f) + plane(c.b) * c.f;
}

function spanOf(values: readonly number[], x: number): number {
  let low = 0;
  let high = values.length - 2;
  while (low < high) {
    const mid = (low + high + 1) >> 1;
    if (values[mid]! <= x) low = mid;
    else high = mid - 1;
  }
  return low;
}

/**
 * The two C planes round an angle. Planes to 90° stand for four quadrants, to 180° for two halves, else the circle
 * closes from the last plane to the first.
 */
function planesAt(planes: readonly number[], cDeg: number): { a: number; b: number; f: number } {
  if (planes.length === 1) return { a: 0, b: 0, f: 0 };
  const last = planes.length - 1;
  let c = ((cDeg % 360) + 360) % 360;
  if (planes[0]! === 0 && planes[last]! <= 180) {
    if (c > 180) c = 360 - c;
    if (planes[last]! <= 90 && c > 90) c = 180 - c;
  }
  if (c < planes[0]!) c += 360;
  if (c >= planes[last]!) {
    const gap = planes[0]! + 360 - planes[last]!;
    const closes = planes[last]! > 180 && gap > 1e-9;
    return closes ? { a: last, b: 0, f: (c - planes[last]!) / gap } : { a: last, b: last, f: 0 };
  }
  const i = spanOf(planes, c);
  return { a: i, b: i + 1, f: (c - planes[i]!) / (planes[i + 1]! - planes[i]!) };
}

/**
 * Luminous flux of a distribution: the stated lumens of a model; for a table the exact integral of its
 * piecewise-linear I(γ), trapezoid over C.
 *
 *     Φ = ∫∫ I sinγ dγ dC,   ∫(a + bγ) sinγ dγ = −(a + bγ) cosγ + b sinγ
 *
 * @returns lumens.
 * @source facts.md 1.9 (computed; zonal flux as in handbook practice).
 */
export function distributionFluxLm(distribution: DistributionRecord): number {
  if (distribution.kind === 'model') return distribution.fluxLm;
  const weights = planeWeights(distribution.cDeg);
  return 2 * Math.PI * weights.reduce((sum, weight, c) => sum + weight * planeFlux(distribution, c), 0);
}

/** Share of the circle that each C plane stands for, by trapezoids over C; they sum to 1. */
export function planeWeights(cDeg: readonly number[]): number[] {
  const last = cDeg.length - 1;
  if (last === 0) return [1];
  const folded = cDeg[0] === 0 && cDeg[last]! <= 180;
  const gap = folded ? 0 : Math.max(0, cDeg[0]! + 360 - cDeg[last]!);
  const angles = cDeg.map((c, i) => (i > 0 ? c - cDeg[i - 1]! : gap) + (i < last ? cDeg[i + 1]! - c : gap));
  const all = angles.reduce((sum, angle) => sum + angle, 0);
  return angles.map((angle) => angle / all);
}

function planeFlux(table: TableRecord, plane: number): number {
  let sum = 0;
  for (let i = 0; i + 1 < table.gammaDeg.length; i++) {
    const g0 = table.gammaDeg[i]! * DEG;
    const g1 = table.gammaDeg[i + 1]! * DEG;
    if (!(g1 > g0)) continue;
    const I0 = table.candela[plane]?.[i] ?? 0;
    const I1 = table.candela[plane]?.[i + 1] ?? 0;
    const b = (I1 - I0) / (g1 - g0);
    sum += I0 * Math.cos(g0) - I1 * Math.cos(g1) + b * (Math.sin(g1) - Math.sin(g0));
  }
  return sum;
}

export interface BeamFigures {
  peakCd: number;
  centreCd: number;
  /** Full angle to half of the peak intensity (CIE S 017). */
  beamAngleFullDeg: number;
  /** Full angle to a tenth of the peak intensity. */
  fieldAngleFullDeg: number;
}

/**
 * Peak, beam and field angle. Tables: mean over the C planes, each by the angle it stands for; crossings by linear
 * interpolation between table angles, outward from the highest mean. Light that goes up from 90° (an uplight measured as it
 * stands) is measured from 180°.
 */
export function beamFigures(distribution: DistributionRecord): BeamFigures {
  if (distribution.kind === 'table') return tableFigures(distribution);
  const peakCd = candelaAt(distribution, 0);
  const angle = (share: number): number => {
    let low = 0;
    let high = Math.PI / 2;
    for (let i = 0; i < 60; i++) {
      const mid = (low + high) / 2;
      if (candelaAt(distribution, mid) >= share * peakCd) low = mid;
      else high = mid;
    }
    return (2 * low) / DEG;
  };
  return { peakCd, centreCd: peakCd, beamAngleFullDeg: angle(0.5), fieldAngleFullDeg: angle(0.1) };
}

function tableFigures(table: TableRecord): BeamFigures {
  const peakCd = table.candela.reduce((most, row) => row.reduce((a, b) => Math.max(a, b), most), 0);
  const mean = meanOverPlanes(table);
  const highest = mean.indexOf(Math.max(...mean));
  const upward = table.gammaDeg[highest]! > 90;
  const g = upward ? table.gammaDeg.map((angle) => 180 - angle).reverse() : table.gammaDeg;
  const I = upward ? mean.reverse() : mean;
  const from = upward ? I.length - 1 - highest : highest;
  const top = I[from]!;
  const angle = (share: number): number => {
    for (let i = from; i + 1 < I.length; i++) {
      const a = I[i]!;
      const b = I[i + 1]!;
      if (b < share * top) return 2 * (g[i]! + ((a - share * top) / (a - b)) * (g[i + 1]! - g[i]!));
    }
    return 2 * g[g.length - 1]!;
  };
  return { peakCd, centreCd: candelaAt(table, 0), beamAngleFullDeg: angle(0.5), fieldAngleFullDeg: angle(0.1) };
}

/** Mean candela by γ over the circle. */
function meanOverPlanes({ gammaDeg, cDeg, candela }: TableRecord): number[] {
  const weights = planeWeights(cDeg);
  return gammaDeg.map((_, i) => candela.reduce((sum, row, c) => sum + (row[i] ?? 0) * (weights[c] ?? 0), 0));
}
