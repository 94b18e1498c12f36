import { describe, expect, it } from 'vitest';
import { applySchemeChange, type Finding, LIMITS, letterFor, summariseQuestions } from '../../src/review/index.ts';
import { findGaps, type ViewColumn } from '../../src/review/kinds/darkGap.ts';
import { leastAngleDeg } from '../../src/review/kinds/eyes.ts';
import { eveningMinutes } from '../../src/review/kinds/windowLight.ts';
import { letterAt } from '../../src/review/letters.ts';
import { viewpointRecord } from '../../src/scene/index.ts';
import { light, property } from './helpers.ts';

const finding = (id: string, kind: Finding['kind'] = 'hotSpot', severity: Finding['severity'] = 'note'): Finding => ({
  id,
  kind,
  label: LIMITS[kind].label,
  severity,
  subject: id,
  at: [0, 0, 0],
  value: 1,
  limit: 1,
  unit: '',
  message: `${id}.`,
  why: '',
  basis: '',
  assumptions: [],
});

describe('letters', () => {
  it('stay with a finding for life', () => {
    const memory = new Map<string, string>();
    expect([...letterFor([finding('a'), finding('b')], memory).values()]).toEqual(['A', 'B']);
    expect(letterFor([finding('c'), finding('b')], memory)).toEqual(
      new Map([
        ['c', 'C'],
        ['b', 'B'],
      ]),
    );
    expect(letterFor([finding('a')], memory).get('a')).toBe('A');
  });
  it('go on after Z', () => {
    expect([0, 25, 26, 51, 52].map(letterAt)).toEqual(['A', 'Z', 'AA', 'AZ', 'BA']);
  });
});

describe('six plain questions', () => {
  it('answer with the worst finding and how many more', () => {
    const [bright] = summariseQuestions([finding('x'), finding('y', 'clippedPicture', 'warn')]);
    expect(bright).toMatchObject({ question: 'Is anything too bright?', answer: 'y. And 1 more.', findingIds: ['y', 'x'] });
  });
  it('every kind but the places and questions belongs to one of them', () => {
    const kinds = Object.keys(LIMITS) as Finding['kind'][];
    const homeless = kinds.filter((kind) => summariseQuestions([finding('k', kind)]).every((one) => one.findingIds.length === 0));
    expect(homeless.sort()).toEqual(['hotNearMulch', 'openQuestion', 'waterZone']);
  });
  it('say nothing that sounds like a verdict', () => {
    const text = summariseQuestions([])
      .map((one) => one.answer)
      .join('\n');
    expect(text).not.toMatch(/\b(safe|ok|okay|pass|passes|compliant|complies)\b/i);
  });
});

describe('the table of limits', () => {
  it('labels are those of the findings table', () => {
    const labels = Object.fromEntries(Object.entries(LIMITS).map(([kind, one]) => [kind, one.label]));
    expect(labels).toMatchObject({
      hotSpot: 'Hot spot',
      clippedPicture: 'Too bright for this exposure',
      darkGap: 'Dark gap',
      darkSide: 'Side wall dark',
      weakOnTarget: 'Too weak for its target',
      strongOnTarget: 'Stronger than its target needs',
      blockedLens: 'Lens blocked',
      seatGlare: 'Seat glare',
      veil: 'Glare hides the way',
      windowLight: "Light at a neighbour's window",
      skyLoss: 'Light to the sky',
      stepDark: 'Step too dark',
      waterZone: 'Light inside the water zone',
      hotNearMulch: 'Hot lamp near mulch or leaves',
      transformerLoad: 'Transformer over-full',
      cableCurrent: 'Too much current for this cable',
      circuitCurrent: 'Circuit above 25 A',
      lowVolts: 'Low voltage',
      highVolts: 'Voltage too high',
      mayNotStart: 'May not start',
      noProtection: 'Run without overcurrent protection',
      openQuestion: 'Question to the owner',
    });
  });
  it('holds no verdict words, and each row has basis and reason', () => {
    for (const one of Object.values(LIMITS)) {
      expect(`${one.label} ${one.basis} ${one.why} ${one.sourceKind}`).not.toMatch(/\b(safe|ok|okay|passes|compliant)\b/i);
      expect(one.basis.length).toBeGreaterThan(5);
      expect(one.why.length).toBeGreaterThan(5);
    }
  });
});

describe('dark gaps by bearing', () => {
  /** Columns of half a degree from luminances by degree. */
  const columns = (luminance: (deg: number) => number | undefined): ViewColumn[] =>
    Array.from({ length: 120 }, (_, i) => ({
      offsetDeg: i / 2 - 29.75,
      luminanceCdM2: luminance(i / 2 - 29.75),
      at: [0, 0, 0],
      partId: 'w',
    }));
  it('a stretch below a tenth of both sides, ±1°', () => {
    const gaps = findGaps(columns((deg) => (deg > -4 && deg < 10 ? 0.02 : 1)));
    expect(gaps).toHaveLength(1);
    expect(gaps[0]).toMatchObject({ fromDeg: -4, toDeg: 10, widthDeg: 14 });
  });
  it('nothing is a gap that is not darker than a tenth', () => {
    expect(findGaps(columns((deg) => (deg > 0 && deg < 10 ? 0.11 : 1)))).toEqual([]);
  });
  it('the dimmer side counts', () => {
    expect(findGaps(columns((deg) => (deg < 0 ? 10 : deg < 8 ? 0.05 : 0.4)))).toEqual([]);
    expect(findGaps(columns((deg) => (deg < 0 ? 10 : deg < 8 ? 0.03 : 0.4)))).toHaveLength(1);
  });
  it('a dark end of the picture is no gap', () => {
    expect(findGaps(columns((deg) => (deg < -10 ? 0 : 1)))).toEqual([]);
    expect(findGaps(columns((deg) => (deg > 3 ? 0 : 1)))).toEqual([]);
  });
  it('where nothing stands, nothing is dark', () => {
    const gaps = findGaps(columns((deg) => (deg > -10 && deg < 10 ? (Math.abs(deg) < 5 ? undefined : 0.01) : 1)));
    expect(gaps).toHaveLength(1);
    expect(gaps[0]!.widthDeg).toBe(10);
  });
  it('an unlit view has no gaps', () => {
    expect(findGaps(columns((deg) => (Math.abs(deg) < 5 ? 0 : 0.001)))).toEqual([]);
  });
});

describe('gaze and hours', () => {
  const view = (gazeSpreadDeg: number) =>
    viewpointRecord.parse({ id: 'v', name: 'v', eye: [0, 1, 0], lookAt: [0, 1, -10], gazeSpreadDeg });
  it('a seat that allows a turn of the head sees a lamp nearer to its gaze', () => {
    expect(leastAngleDeg(view(0), [10, 1, -10])).toBeCloseTo(45, 6);
    expect(leastAngleDeg(view(30), [10, 1, -10])).toBeCloseTo(15, 6);
    expect(leastAngleDeg(view(90), [10, 1, -10])).toBeCloseTo(0, 5);
    expect(leastAngleDeg(view(180), [0, 1, 10])).toBeCloseTo(0, 5);
  });
  it('times after midnight follow the evening', () => {
    expect(eveningMinutes('00:30')).toBeGreaterThan(eveningMinutes('23:00'));
    expect(eveningMinutes('22:59')).toBeLessThan(eveningMinutes('23:00'));
  });
});

describe('changes as data', () => {
  const document = property({
    scheme: {
      fixtures: [light('L1', [0, 0, 0], [0, 1, 0]), light('L2', [1, 0, 0], [1, 1, 0])],
      runs: [
        {
          id: 'R',
          name: 'R',
          transformerId: 'T',
          tapV: 12,
          gauge: { kind: 'awg', awg: 12 },
          legs: [{ id: 'g', lengthM: 1, fixtureId: 'L1' }],
        },
      ],
    },
  });
  it('puts by id, adds at the end, removes, and leaves the given document as it is', () => {
    const before = JSON.stringify(document);
    const L2 = { ...document.schemes[0]!.fixtures[1]!, dim: 0.5 };
    const L3 = { ...L2, id: 'L3' };
    const next = applySchemeChange(document, 's', { fixtures: { put: [L2, L3], remove: ['L1'] } });
    expect(next.schemes[0]!.fixtures.map((one) => [one.id, one.dim])).toEqual([
      ['L2', 0.5],
      ['L3', 0.5],
    ]);
    expect(next.schemes[0]!.runs[0]!.legs[0]).toEqual({ id: 'g', lengthM: 1, lengthGuessed: false });
    expect(JSON.stringify(document)).toBe(before);
  });
  it('refuses a scheme that is not there', () => {
    expect(() => applySchemeChange(document, 'x', {})).toThrow(/no scheme "x"/);
  });
});
