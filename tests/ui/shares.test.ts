import { describe, expect, it } from 'vitest';
import type { PointLight } from '../../src/lights/index.ts';
import { parseProperty } from '../../src/scene/index.ts';
import { sharesOf } from '../../src/ui/picture/explain/shares.ts';
import { smallProperty } from '../browser/properties.ts';

const parsed = parseProperty(JSON.stringify(smallProperty()));
if (!parsed.ok) throw new Error('the small property does not parse');
const { document } = parsed;
const schemeId = document.schemes[0]!.id;

const light = (bySource: PointLight['bySource'], skyLx = 0, windowsLx = 0): PointLight => {
  const directLx = bySource.reduce((sum, s) => sum + s.directLx, 0);
  const bouncedLx = bySource.reduce((sum, s) => sum + s.bouncedLx, 0);
  return { totalLx: directLx + bouncedLx + skyLx + windowsLx, directLx, bouncedLx, skyLx, windowsLx, bySource };
};

describe('shares of a place', () => {
  it('add up to the written total to the last digit, whatever the rounding (seed 7)', () => {
    let seed = 7;
    const dice = () => {
      seed = (seed * 1103515245 + 12345) % 2147483648;
      return seed / 2147483648;
    };
    for (let n = 0; n < 200; n++) {
      const scale = 10 ** (4 * dice() - 2);
      const sources = Array.from({ length: 1 + Math.floor(dice() * 30) }, (_, i) => ({
        id: `L${i + 1}`,
        directLx: dice() ** 4 * scale,
        bouncedLx: dice() ** 6 * scale * 0.1,
      }));
      const { totalLx, lines } = sharesOf(document, schemeId, light(sources, dice() * scale * 0.1, dice() * scale * 0.01));
      const sum = lines.reduce((s, line) => s + line.shownLx, 0);
      expect(Math.abs(sum - totalLx)).toBeLessThan(1e-9 * Math.max(1, totalLx));
    }
  });

  it('lists lights strongest first, then sky and windows; too little for a line joins the rest', () => {
    const { lines } = sharesOf(
      document,
      schemeId,
      light(
        [
          { id: 'L1', directLx: 1, bouncedLx: 0 },
          { id: 'L2', directLx: 5, bouncedLx: 0.5 },
          { id: 'L3', directLx: 0.01, bouncedLx: 0.01 },
        ],
        0.3,
        0.2,
      ),
    );
    expect(lines.map((line) => line.id ?? line.name)).toEqual(['L2', 'L1', 'sky', 'windows', 'the rest']);
    expect(lines.at(-1)?.shownLx).toBeCloseTo(0.02, 9);
  });
});
