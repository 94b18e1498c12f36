import type { Pane, Vec3 } from '../../scene/index.ts';

/** Planes of glass that mirror the property; further ones mirror the plain sky. */
export const MOST_MIRRORS = 2;
/** A second plane is worth its drawing from this share of the first one's glass on. */
const WORTH_SHARE = 0.4;
const SAME_PLANE_M = 0.6;
/** The eye of a mirror stands this far before the glass. */
const BEFORE_M = 0.3;

/** A wall's glass seen as one mirror: what stands before it is drawn once, from `at`. */
export interface GlassPlane {
  at: Vec3;
  u: Vec3;
  normal: Vec3;
  areaM2: number;
  /** Indices of the panes. */
  panes: number[];
}

const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** The planes with the most glass, largest first. */
export function glassPlanes(panes: readonly Pane[]): GlassPlane[] {
  const planes: GlassPlane[] = [];
  panes.forEach((pane, i) => {
    const areaM2 = pane.widthM * pane.heightM;
    const own = planes.find(
      ({ panes: [first], normal }) =>
        dot(normal, pane.normal) > 0.995 &&
        Math.abs(dot(normal, pane.origin) - dot(normal, panes[first!]!.origin)) < SAME_PLANE_M,
    );
    if (own) {
      own.areaM2 += areaM2;
      own.panes.push(i);
    } else planes.push({ at: [0, 0, 0], u: pane.u, normal: pane.normal, areaM2, panes: [i] });
  });
  planes.sort((a, b) => b.areaM2 - a.areaM2);
  const kept = planes.slice(0, MOST_MIRRORS).filter((plane) => plane.areaM2 >= WORTH_SHARE * planes[0]!.areaM2);
  for (const plane of kept) plane.at = middleOf(plane, panes);
  return kept;
}

function middleOf(plane: GlassPlane, panes: readonly Pane[]): Vec3 {
  const sum = [0, 0, 0];
  for (const i of plane.panes) {
    const { origin, u, v, widthM, heightM } = panes[i]!;
    for (let c = 0; c < 3; c++)
      sum[c]! += (origin[c]! + 0.5 * widthM * u[c]! + 0.5 * heightM * v[c]!) * ((widthM * heightM) / plane.areaM2);
  }
  return [0, 1, 2].map((c) => sum[c]! + BEFORE_M * plane.normal[c]!) as unknown as Vec3;
}

/** Per pane: the mirror's eye in the pane's own axes (s, t, outward) and the mirror's number, −1 for none. */
export function mirrorOfPane(planes: readonly GlassPlane[], panes: readonly Pane[]): [number, number, number, number][] {
  return panes.map((pane, i) => {
    const k = planes.findIndex((plane) => plane.panes.includes(i));
    if (k < 0) return [0, 0, 0, -1];
    const off = [0, 1, 2].map((c) => planes[k]!.at[c]! - pane.origin[c]!) as unknown as Vec3;
    return [dot(off, pane.u), dot(off, pane.v), dot(off, pane.normal), k];
  });
}
