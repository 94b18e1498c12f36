import { describe, expect, it } from 'vitest';
import { HOT_SPOT_LUMINANCE, LIMITS } from '../../src/review/index.ts';
import { statedMean } from '../../src/ui/picture/maps/adaptation.ts';
import { edgeFigures, linesAt } from '../../src/ui/picture/maps/contours.ts';
import { limitMarks } from '../../src/ui/picture/maps/limits.ts';
import { createApp } from '../../src/ui/state/app.ts';
import { captionOf } from '../../src/ui/state/caption.ts';
import type { LightClient } from '../../src/worker/index.ts';
import { testProperty } from '../editor/property.ts';

/** Lux below a bare lamp at height h: E = I·h/(h² + r²)^1.5 (inverse square and cosine laws). */
const poolLx = (r: number): number => (1000 * 4) / (16 + r * r) ** 1.5;

function pool(width: number, height: number, metresAcross: number) {
  const values = new Float32Array(width * height);
  const step = metresAcross / width;
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      values[y * width + x] = poolLx(
        Math.hypot((x + 0.5) * step - metresAcross / 2, ((y + 0.5 - height / 2) * metresAcross) / width),
      );
  return { width, height, values };
}

describe('lines between bands', () => {
  const survey = pool(240, 160, 24);
  const box = { width: 960, height: 640, top: 60, bottom: 48, left: 150 };

  it('run where the closed form has the value: one ring, its radius by the inverse square law', () => {
    // 1000·4/(16 + r²)^1.5 = 10 lx at r = √(400^(2/3) − 16) m.
    const radiusM = Math.sqrt(400 ** (2 / 3) - 16);
    const lines = linesAt(survey, 10);
    expect(lines).toHaveLength(1);
    for (const [x, y] of lines[0]!) {
      expect(Math.hypot((x + 0.5 - 120) * 0.1, (y + 0.5 - 80) * 0.1)).toBeCloseTo(radiusM, 1);
    }
  });

  it('are not drawn where one thing ends and another begins, nor where there is nothing', () => {
    const width = 40;
    const values = new Float32Array(width * 40).map((_, i) => (i % width < 20 ? 1 : 100));
    expect(linesAt({ width, height: 40, values }, 10)).toEqual([]);
    const gap = new Float32Array(survey.values).map((v) => (v > 5 ? v : Number.NaN));
    expect(linesAt({ ...survey, values: gap }, 2)).toEqual([]);
  });

  it('carry their figure on the line, readable, apart and inside the picture', () => {
    const figures = edgeFigures(survey, [5, 10, 20, 50], box);
    expect(new Set(figures.map((f) => f.value))).toEqual(new Set([5, 10, 20, 50]));
    for (const f of figures) {
      const r = Math.hypot(f.x * 0.025 - 12, f.y * 0.025 - 8);
      expect(poolLx(r) / f.value).toBeCloseTo(1, 1);
      expect(Math.abs(f.angleDeg)).toBeLessThanOrEqual(90);
      expect(f.x).toBeGreaterThan(box.left);
      expect(f.y).toBeGreaterThan(box.top);
      expect(f.y).toBeLessThan(box.height - box.bottom);
      for (const other of figures) if (other !== f) expect(Math.hypot(f.x - other.x, f.y - other.y)).toBeGreaterThan(50);
    }
  });
});

describe('limits ticked on the legend', () => {
  it('are those of the review', () => {
    const lux = limitMarks(testProperty(), 'lux');
    for (const kind of ['stepDark', 'seatGlare'] as const) {
      for (const limit of [LIMITS[kind].note!, LIMITS[kind].warn!]) {
        expect(lux.find((m) => m.value === limit)?.spoken).toContain(LIMITS[kind].label);
      }
    }
    const bright = limitMarks(testProperty(), 'luminance');
    expect(bright.map((m) => m.value)).toEqual([HOT_SPOT_LUMINANCE.note, HOT_SPOT_LUMINANCE.warn]);
  });

  it("follow the user's own", () => {
    const property = testProperty();
    property.review.limits.push({ kind: 'stepDark', severity: 'warn', value: 3 });
    expect(limitMarks(property, 'lux').find((m) => m.value === 3)?.words).toBe('step');
  });
});

describe('adaptation', () => {
  it('is the mean of the picture to two digits, what has no value left out, never 0', () => {
    expect(statedMean({ values: Float32Array.of(0.5, 1.5, Number.NaN, 1.004) })).toBe(1);
    expect(statedMean({ values: Float32Array.of(0.1234) })).toBe(0.12);
    expect(statedMean({ values: new Float32Array(4) })).toBeGreaterThan(0);
  });
});

describe('caption', () => {
  it('says whether a camera or an eye saw the picture, and what the eye is used to', () => {
    const app = createApp(testProperty(), {} as LightClient);
    expect(captionOf(app)).toContain('seen as a camera');
    app.editor.session({ adaptedCdM2: 0.8 });
    expect(captionOf(app)).toContain('seen as an eye used to 0.8 cd/m²');
    expect(captionOf(app)).not.toContain('camera');
  });
});
