import type { GroundRecord, PropertyDocument, Vec2, Vec3 } from '../records/index.ts';
import { groundHeight } from './ground.ts';
import { pointInLoops } from './polygon.ts';

const EYE_M = 1.6;
const STEP_M = 2;
const MOST_VIEWERS = 500;
const WALKED: ReadonlySet<GroundRecord['patches'][number]['use']> = new Set(['path', 'paving', 'drive', 'pavement']);

/**
 * Where eyes come: viewpoints, and points every 2 m along the edges of and across what is walked on, 1.6 m above it; at
 * most 500, evenly thinned. Light is sampled finest near them.
 */
export function viewerPlaces(document: Pick<PropertyDocument, 'viewpoints' | 'ground'>): Vec3[] {
  const walked: Vec3[] = [];
  const add = (x: number, z: number): void => {
    walked.push([x, (groundHeight(document.ground, x, z) ?? 0) + EYE_M, z]);
  };
  for (const patch of document.ground.patches) {
    if (!WALKED.has(patch.use)) continue;
    patch.outline.forEach(([x, z], i) => {
      const [x1, z1] = patch.outline[(i + 1) % patch.outline.length]!;
      const steps = Math.max(1, Math.round(Math.hypot(x1 - x, z1 - z) / STEP_M));
      for (let k = 0; k < steps; k++) add(x + ((x1 - x) * k) / steps, z + ((z1 - z) * k) / steps);
    });
    for (const [x, z] of innerGrid(patch.outline)) add(x, z);
  }
  const share = Math.max(1, walked.length / MOST_VIEWERS);
  const kept = Array.from({ length: Math.floor(walked.length / share) }, (_, k) => walked[Math.floor(k * share)]!);
  return [...document.viewpoints.map((v): Vec3 => [...v.eye]), ...kept];
}

function innerGrid(outline: readonly Vec2[]): Vec2[] {
  const xs = outline.map(([x]) => x);
  const zs = outline.map(([, z]) => z);
  const out: Vec2[] = [];
  for (let x = Math.min(...xs) + STEP_M / 2; x < Math.max(...xs); x += STEP_M) {
    for (let z = Math.min(...zs) + STEP_M / 2; z < Math.max(...zs); z += STEP_M) {
      if (out.length < MOST_VIEWERS && pointInLoops([outline as Vec2[]], x, z)) out.push([x, z]);
    }
  }
  return out;
}
