import { describe, expect, it } from 'vitest';
import { reviewScheme } from '../../src/review/index.ts';
import type { PropertyDocument } from '../../src/scene/index.ts';
import { input, light, property } from './helpers.ts';

const severities = (document: PropertyDocument, kind: string) =>
  Object.fromEntries(
    reviewScheme(input(document))
      .filter((one) => one.kind === kind)
      .map((one) => [one.subject, one.severity]),
  );

describe('waterZone (facts 9.5, 9.8: 3.5 m, 3.05 m in the US; from memory)', () => {
  const pool = {
    id: 'pool',
    name: 'pool',
    kind: 'pool',
    outline: [
      [0, 0],
      [10, 0],
      [10, 4],
      [0, 4],
    ],
  };
  const build = (region: string) =>
    property({
      site: { region },
      water: [pool],
      powerSites: [{ id: 'outlet', name: 'outlet', at: [13.2, 0, 2] }],
      scheme: {
        fixtures: [
          light('inside', [5, 0, 2], [5, 1, 2]),
          light('near', [12.1, 0, 2], [12, 1, 2]),
          light('between', [13.2, 0, 2], [13, 1, 2]),
          light('fairly', [14.9, 0, 2], [14, 1, 2]),
          light('far', [15.1, 0, 2], [15, 1, 2]),
          light('corner', [13, 0, 7], [13, 1, 7]),
        ],
        transformers: [{ id: 'T1', name: 'T1', at: [-3.4, 0, 2], capacityVa: 100 }],
        runs: [
          {
            id: 'R',
            name: 'R',
            transformerId: 'T1',
            tapV: 12,
            gauge: { kind: 'awg', awg: 12 },
            protectionA: 5,
            legs: [
              {
                id: 'g',
                lengthM: 20,
                path: [
                  [-6, 0, -2],
                  [16, 0, -2],
                ],
              },
            ],
          },
        ],
      },
    });
  it('distances to the edge, with the region', () => {
    expect(severities(build('IEC'), 'waterZone')).toEqual({
      inside: 'stop',
      near: 'stop',
      between: 'stop',
      fairly: 'note',
      corner: 'note', // 3-4-5: hypot(3, 3) = 4.24 m
      outlet: 'stop',
      T1: 'stop',
      'R/g': 'stop',
    });
    expect(severities(build('US'), 'waterZone')).toMatchObject({ between: 'note', outlet: 'note', near: 'stop', T1: 'note' });
  });
  it('the sentence states the guard and defers to code and a licensed electrician', () => {
    const finding = reviewScheme(input(build('IEC'))).find((one) => one.subject === 'near')!;
    expect(finding.message).toBe(
      'Light inside the water zone: light 2, 2.1 m from the edge of pool; this program keeps 3.5 m, or 3.05 m (10 ft) in the US (from memory, to be verified).',
    );
    expect(finding.basis).toContain('licensed electrician');
    expect(finding.value).toBeCloseTo(2.1, 6);
  });
});

describe('hotNearMulch', () => {
  const document = property({
    lamps: [{ id: 'lamp' }, { id: 'halogen', electrical: 'resistive' }],
    ground: {
      levels: [
        {
          id: 'lot',
          outline: [
            [-20, -20],
            [20, -20],
            [20, 20],
            [-20, 20],
          ],
          material: 'lawn',
        },
      ],
      patches: [
        {
          id: 'bed',
          use: 'bed',
          outline: [
            [0, 0],
            [4, 0],
            [4, 4],
            [0, 4],
          ],
          material: 'mulch',
        },
        {
          id: 'path',
          use: 'gravel',
          outline: [
            [2, 0],
            [4, 0],
            [4, 4],
            [2, 4],
          ],
          material: 'gravel',
        },
      ],
    },
    scheme: {
      fixtures: [
        light('led-stake', [1, 0.1, 1], [1, 2, 1]),
        light('led-in-grade', [1, 0, 1], [1, 2, 1], { mount: 'inGrade' }),
        light('halogen-stake', [1, 0.2, 1], [1, 2, 1], { lampId: 'halogen' }),
        light('halogen-raised', [1, 0.5, 1], [1, 2, 1], { lampId: 'halogen' }),
        light('beside', [-0.25, 0, 1], [0, 2, 1], { mount: 'inGrade' }),
        light('clear', [-0.35, 0, 1], [0, 2, 1], { mount: 'inGrade' }),
        light('on-gravel', [3, 0, 1], [3, 2, 1], { mount: 'inGrade' }),
      ],
    },
  });
  it('in-grade is a note, halogen a warning, within 0.3 m only; later patches lie over earlier', () => {
    expect(severities(document, 'hotNearMulch')).toEqual({ 'led-in-grade': 'note', 'halogen-stake': 'warn', beside: 'note' });
  });
});

describe('openQuestion', () => {
  it('counts the lights that hang on a question without an answer', () => {
    const document = property({
      questions: [
        { id: 'q1', text: 'Whose tree is it?', lightIds: ['L1'] },
        { id: 'q2', text: 'Old?', answer: 'yes' },
      ],
      scheme: { fixtures: [light('L1', [0, 0, 0], [0, 1, 0])] },
    });
    expect(severities(document, 'openQuestion')).toEqual({ q1: 'note' });
  });
});

describe('limits of the user and findings put off', () => {
  const base = {
    water: [
      {
        id: 'pool',
        name: 'pool',
        kind: 'pool',
        outline: [
          [0, 0],
          [1, 0],
          [1, 1],
        ],
      },
    ],
    scheme: { fixtures: [light('L1', [5.2, 0, 0], [5, 1, 0])] },
  };
  it("the user's own limit is used, and named as such", () => {
    const document = property({ ...base, review: { limits: [{ kind: 'waterZone', severity: 'note', value: 4 }] } });
    expect(severities(document, 'waterZone')).toEqual({});
    const wider = property({ ...base, review: { limits: [{ kind: 'waterZone', severity: 'stop', value: 6 }] } });
    const finding = reviewScheme(input(wider)).find((one) => one.kind === 'waterZone')!;
    expect(finding).toMatchObject({ severity: 'stop', limit: 6 });
    expect(finding.message).toContain('your own limit');
  });
  it('a finding put off stays, as a note with its reason', () => {
    const document = property({
      ...base,
      scheme: { fixtures: [light('L1', [2, 0, 0], [2, 1, 0])] },
      review: { putOff: [{ findingId: 'waterZone L1', reason: 'Pond will be filled in.' }] },
    });
    expect(reviewScheme(input(document))[0]).toMatchObject({ severity: 'note', putOff: 'Pond will be filled in.' });
  });
});
