import { BufferAttribute, BufferGeometry, DynamicDrawUsage } from 'three';
import type { Vec3 } from '../../scene/index.ts';

/** `dark`: bronze outside. `white`: the painted underside of a hat. `inside`: what the light of its own lamp strikes. */
export type Finish = 'dark' | 'white' | 'inside';

/**
 * A profile turned about an axis. Its points are (radius, place along the axis); walked up the axis it is seen from outside,
 * walked down from inside. `up` is where the turn starts, square to the axis; a `half` covers 90° to either side of it.
 */
export interface Lathe {
  at: Vec3;
  axis: Vec3;
  up: Vec3;
  profile: readonly (readonly [number, number])[];
  finish: Finish;
  half?: boolean;
  /** Of an `inside`, its own light in cd/m², linear sRGB: the mean over it; 0 at the first point of the profile, twice at the last. */
  glow?: Vec3;
}

const SIDES = 24;

const cross = (a: Vec3, b: Vec3): Vec3 => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];

/** A direction square to a unit axis. */
export function squareTo(axis: Vec3): Vec3 {
  const c = cross(Math.abs(axis[1]) < 0.9 ? [0, 1, 0] : [1, 0, 0], axis);
  const l = Math.hypot(...c);
  return [c[0] / l, c[1] / l, c[2] / l];
}

/**
 * All bodies as one mesh. `aLight` is left dark: the light that falls on each vertex, lux / π, filled in as the field changes;
 * `groups[k]` is the range of vertices of the k-th list of lathes.
 */
export function latheGeometry(bodies: readonly (readonly Lathe[])[]): {
  geometry: BufferGeometry;
  groups: { first: number; end: number }[];
} {
  const out = { position: [] as number[], normal: [] as number[], glow: [] as number[], index: [] as number[] };
  const groups = bodies.map((lathes) => {
    const first = out.position.length / 3;
    for (const lathe of lathes) pushLathe(out, lathe);
    return { first, end: out.position.length / 3 };
  });
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(out.position), 3));
  geometry.setAttribute('normal', new BufferAttribute(Float32Array.from(out.normal), 3));
  geometry.setAttribute('aGlow', new BufferAttribute(Float32Array.from(out.glow), 4));
  const light = new BufferAttribute(new Float32Array(out.position.length), 3);
  light.setUsage(DynamicDrawUsage);
  geometry.setAttribute('aLight', light);
  geometry.setIndex(out.index);
  return { geometry, groups };
}

function pushLathe(
  out: { position: number[]; normal: number[]; glow: number[]; index: number[] },
  { at, axis, up, profile, finish, half, glow }: Lathe,
): void {
  const side = cross(axis, up);
  const steps = half ? SIDES / 2 : SIDES;
  const last = profile.length - 1;
  for (let j = 0; j < last; j++) {
    const [r0, a0] = profile[j]!;
    const [r1, a1] = profile[j + 1]!;
    const long = Math.max(1e-9, Math.hypot(r1 - r0, a1 - a0));
    const [nr, na] = [(a1 - a0) / long, (r0 - r1) / long];
    const first = out.position.length / 3;
    for (let k = 0; k <= steps; k++) {
      const phi = half ? (k / steps - 0.5) * Math.PI : (k / steps) * 2 * Math.PI;
      const [c, s] = [Math.cos(phi), Math.sin(phi)];
      for (const [r, a, share] of [
        [r0, a0, j / last],
        [r1, a1, (j + 1) / last],
      ] as const) {
        for (let n = 0; n < 3; n++) {
          const away = c * up[n]! + s * side[n]!;
          out.position.push(at[n]! + r * away + a * axis[n]!);
          out.normal.push(nr * away + na * axis[n]!);
          out.glow.push(glow ? 2 * share * glow[n]! : 0);
        }
        out.glow.push(finish === 'white' ? 1 : 0);
      }
      const i = first + 2 * k;
      if (k < steps) out.index.push(i, i + 2, i + 1, i + 1, i + 2, i + 3);
    }
  }
}
