import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { createLightModel, resolveSources } from '../../src/lights/index.ts';
import { buildScene, facePoint, type PropertyDocument, parseProperty, pointCovered, pointInFace } from '../../src/scene/index.ts';
import { seeded } from './testScene.ts';
import { NIGHT } from './testSource.ts';

/** The invented demo house without its planting, the lights of its good scheme: enough edges, reveals and reliefs of real massing. */
function house(): PropertyDocument {
  const path = new URL('../../demo/brick-two-storey/brick-two-storey.property.json', import.meta.url);
  const parsed = parseProperty(readFileSync(path, 'utf8'));
  if (!parsed.ok) throw new Error('the demo property does not parse');
  return { ...parsed.document, planting: [] };
}

describe('field against exact values at the same points (accuracy bars of the design: median ≤ 1 %, 95 % ≤ 5 %)', () => {
  const document = house();
  const scene = buildScene(document);
  const model = createLightModel(scene, { bounceRays: 16 });
  const sources = resolveSources(document, 'good', { after: true, dirt: 'asShown' });
  model.setSources(sources, NIGHT);
  model.solveAll();
  const random = seeded(41);
  const faces = scene.faces.map((face, index) => ({ face, index })).filter(({ face }) => face.sampled);
  const areas = faces.map(({ face }) => face.widthM * face.heightM);
  const total = areas.reduce((a, b) => a + b, 0);

  it('direct light at 600 random places of walls, reveals, steps and ground', () => {
    const errors: number[] = [];
    let lit = 0;
    while (errors.length < 600) {
      let left = random() * total;
      const pick = Math.max(
        0,
        areas.findIndex((a) => {
          left -= a;
          return left <= 0;
        }),
      );
      const { face, index } = faces[pick]!;
      const s = random() * face.widthM;
      const t = random() * face.heightM;
      if (!pointInFace(face, s, t) || pointCovered(face, s, t)) continue;
      const field = model.sampleField(index, s, t);
      expect(field, `${face.id} ${s} ${t}`).toBeDefined();
      const [r, g, b] = field!.directRgb;
      const E = 0.2126 * r + 0.7152 * g + 0.0722 * b;
      if (E < 0.1 && random() < 0.98) continue;
      const exact = model.exactAt(facePoint(face, s, t), face.normal).directLx;
      if (exact > 0.1) lit++;
      errors.push(Math.abs(E - exact) / Math.max(exact, 0.1));
    }
    errors.sort((a, b) => a - b);
    expect(lit).toBeGreaterThan(100);
    expect(errors[300]).toBeLessThan(0.01);
    expect(errors[570]).toBeLessThan(0.05);
  });

  it('flux of every light is found again: surfaces + leaves + sky = emitted', () => {
    for (const source of sources) {
      const f = model.fluxOf(source.id);
      expect(Math.abs((f.surfacesLm + f.leavesLm + f.skyLm) / f.emittedLm - 1)).toBeLessThan(1e-6);
      expect(f.nearLostLm).toBeLessThanOrEqual(f.emittedLm);
    }
  });

  it('a ray meets what stands there: a wall first, the sky above; luminance is E·ρ/π', () => {
    const hit = model.cast([0, 1.6, 30], [0, 0, -1]);
    expect(hit).toBeDefined();
    expect(hit!.at[2]).toBeCloseTo(30 - hit!.distanceM, 9);
    expect(model.cast([0, 40, 0], [0, 1, 0])).toBeUndefined();
    const { luminanceCdM2, hit: same } = model.luminanceAlong([0, 1.6, 30], [0, 0, -1]);
    expect(same!.distanceM).toBe(hit!.distanceM);
    expect(luminanceCdM2).toBeGreaterThanOrEqual(0);
  });

  it('refuses what it cannot answer', () => {
    expect(() => model.fluxOf('nobody')).toThrow(/nobody/);
    expect(() => model.cast([0, 0, 0], [0, 0, 0])).toThrow(/length/);
  });
});

describe('eye', () => {
  it('gets I·T/(d² + r²), at the angle from its gaze, and the luminance I/(A·cos)', () => {
    const document = house();
    const scene = { ...buildScene(document) };
    const model = createLightModel(scene, { bounceRays: 16 });
    const source = resolveSources(document, 'good', { after: true, dirt: 'asShown' })[0]!;
    const at = [0, 50, 0] as const;
    const high = {
      ...source,
      weight: 0.5,
      fixture: { ...source.fixture, at: [...at] as [number, number, number], aim: [0, 50, 10] as [number, number, number] },
    };
    model.setSources([high], NIGHT);
    const [eye] = model.eyeLight([0, 50, 8], [0, 1, -1]);
    const d = source.lamp.distribution;
    if (d.kind !== 'model') throw new Error('the demo lamp is a model lamp');
    const n = Math.log(0.5) / Math.log(Math.cos((d.beamAngleFullDeg * Math.PI) / 360));
    const I = (1 - d.spillShare) * d.fluxLm * ((n + 1) / (2 * Math.PI)) + (d.spillShare * d.fluxLm) / Math.PI;
    const clear = source.fixture.lens.kind === 'clear' && source.fixture.shield.kind === 'none';
    expect(eye!.transmittance).toBe(1);
    expect(eye!.angleFromGazeDeg).toBeCloseTo(45, 9);
    if (clear) expect(eye!.eyeIlluminanceLx / ((0.5 * I) / (64 + source.lamp.lensRadiusM ** 2))).toBeCloseTo(1, 3);
    expect(
      eye!.luminanceCdM2 /
        ((eye!.eyeIlluminanceLx * (64 + source.lamp.lensRadiusM ** 2)) / (Math.PI * source.lamp.lensRadiusM ** 2)),
    ).toBeCloseTo(1, 6);
    expect(model.eyeLight([0, 50, -8], [0, 0, 1])[0]!.eyeIlluminanceLx).toBe(0);
  });
});
