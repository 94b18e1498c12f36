import { describe, expect, it } from 'vitest';
import { heldGlsl, STAGE_MAX_CDM2 } from '../../src/view/layer.ts';
import { heldRgb } from '../../src/view/lenses/lensLight.ts';
import { paneFragment } from '../../src/view/panes/paneShader.ts';
import { cardFragment } from '../../src/view/plants/cardShader.ts';
import { strandFragment } from '../../src/view/plants/strandShader.ts';
import { skyFragment, starFragment, windowFragment } from '../../src/view/sky/skyShader.ts';
import { surfaceFragment } from '../../src/view/surfaces/shader.ts';

/** The shader's own text, run as JavaScript. */
function heldByShader(rgb: readonly number[]): number[] {
  const body = /return ([^;]+);/.exec(heldGlsl)![1]!;
  const scale = body.replace('L * ', '').replace(/\b(min|max)\(/g, 'Math.$1(');
  const k = new Function('L', `return ${scale};`)({ r: rgb[0], g: rgb[1], b: rgb[2] }) as number;
  return rgb.map((v) => v * k);
}

describe('light stronger than the half floats hold', () => {
  it('is brought down as a whole: channels keep their ratios, as lenses do', () => {
    const shown = heldByShader([90000, 45000, 9000]);
    expect(shown[0]).toBeCloseTo(STAGE_MAX_CDM2, 6);
    expect(shown[1]! / shown[0]!).toBeCloseTo(0.5, 12);
    expect(shown[2]! / shown[0]!).toBeCloseTo(0.1, 12);
    heldRgb([2, 1, 0.2], 45000, STAGE_MAX_CDM2).forEach((v, k) => {
      expect(v).toBeCloseTo(shown[k]!, 6);
    });
    expect(heldByShader([12, 9, 0.1])).toEqual([12, 9, 0.1]);
  });

  it('goes through that one function wherever a colour is written', () => {
    const programs = [
      ...[surfaceFragment('masonry'), surfaceFragment('ground', true), surfaceFragment('metal')],
      ...[paneFragment, cardFragment, strandFragment, skyFragment, starFragment, windowFragment],
    ];
    for (const program of programs) {
      expect(program).toContain(heldGlsl);
      expect(program).toMatch(/(outColor|gl_FragColor) = [^;]*held\(/);
      expect(program).not.toMatch(/min\([^;]*vec3\(3\d*\.0/);
    }
  });
});
