import { expect, it } from 'vitest';
import { cutsOf } from '../../src/lights/bounce/cuts.ts';
import { createLightModel } from '../../src/lights/index.ts';
import { buildScene, type Face, parseProperty } from '../../src/scene/index.ts';
import { NIGHT } from './testSource.ts';

/** Wall of 4 m with a lit window of 1.5 × 1.2 m (invented), frame 5 cm wide and 15 mm proud of its glass. */
function house() {
  const window = {
    kind: 'window',
    id: 'w',
    name: 'w',
    alongM: 2,
    sillM: 1,
    widthM: 1.5,
    heightM: 1.2,
    revealM: 0.08,
    panesAcross: 2,
    panesUp: 1,
    litCdM2: 2.5,
    litCctK: 2700,
  };
  const wall = { kind: 'wall', id: 'front', from: [0, 0], to: [4, 0], heightM: 3, thicknessM: 0.2, openings: [window] };
  const parsed = parseProperty(
    JSON.stringify({
      format: 'gloaming-property',
      version: 1,
      name: 'window',
      site: { surroundings: 'darkRural', invented: true },
      buildings: [{ id: 'b', name: 'b', parts: [{ ...wall, material: 'renderPale' }] }],
    }),
  );
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.errors));
  return buildScene(parsed.document);
}

it('a ray that meets the bar of a lit window shows the bar, beside it the pane (a bar is opaque)', () => {
  const scene = house();
  const model = createLightModel(scene, { surroundings: 'darkRural' });
  model.setSources([], NIGHT);
  model.solveAll();
  const { origin, u, widthM, heightM } = scene.panes[0]!;
  const seenAt = (s: number) =>
    model.luminanceAlong([origin[0] + s * u[0], origin[1] + heightM / 2, 6], [0, 0, -1]).luminanceCdM2;
  expect(seenAt(widthM / 4)).toBeCloseTo(2.5, 9);
  for (const bar of [0.02, widthM / 2, widthM - 0.02]) expect(seenAt(bar), `bar at ${bar} m`).toBeLessThan(0.25);
});

it('where patches had to grow, lines along which things stand do not use up the rest (path-traced: docs/proof.md)', () => {
  const face = { kind: 'wall', widthM: 10, heightM: 3, loops: [], covers: [] } as unknown as Face;
  const inner = { s: Array.from({ length: 30 }, (_, i) => 0.2 + i * 0.32), t: [] };
  const columns = (patchM: number) => cutsOf(face, [], inner, { patchM, farPatchM: 7 * patchM, graded: true }).s.length - 1;
  expect(columns(0.3)).toBeGreaterThan(60);
  for (const patchM of [0.8, 1.5, 3]) expect(columns(patchM), `patches of ${patchM} m`).toBeLessThan(4.5 * (10 / patchM));
});
