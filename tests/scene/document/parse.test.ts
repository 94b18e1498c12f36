import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  createEmptyProperty,
  formatPropertyError,
  type ParseResult,
  parseProperty,
  propertyJsonSchema,
  serialiseProperty,
} from '../../../src/scene/index.ts';

type Json = Record<string, unknown>;

const demoText = readFileSync('demo/brick-two-storey/brick-two-storey.property.json', 'utf8');

const lamp = {
  id: 'p1',
  name: 'lamp',
  distribution: { kind: 'model', fluxLm: 450, beamAngleFullDeg: 24, spillShare: 0 },
  cctK: 2700,
  powerW: 5.5,
  powerFactor: 0.7,
  lowestV: 9,
  startV: 10,
  highestV: 15,
};
const wall = { id: 'front', kind: 'wall', from: [0, 0], to: [6, 0], heightM: 3, material: { reflectance: 0.3 } };
const light = { id: 'l3', at: [1, 0, 0.4], aim: [1, 2, 0], lampId: 'p1' };
const square = [
  [0, 0],
  [4, 0],
  [4, 4],
  [0, 4],
];

/** A small sound file; `over` replaces top-level fields. */
function file(over: Json = {}): Json {
  return {
    format: 'gloaming-property',
    version: 2,
    name: 'Test',
    site: {},
    buildings: [{ id: 'house', name: 'House', parts: [wall] }],
    catalogue: { lamps: [lamp] },
    schemes: [{ id: 'good', name: 'Good', fixtures: [light] }],
    ...over,
  };
}

const read = (over: Json = {}): ParseResult => parseProperty(JSON.stringify(file(over)));

/** The lines of a refusal; fails when the file was taken. */
function lines(result: ParseResult): string[] {
  expect(result.ok).toBe(false);
  return result.ok ? [] : result.errors.map(formatPropertyError);
}

const withPart = (part: Json) => ({ buildings: [{ id: 'house', name: 'House', parts: [part] }] });
const withLight = (over: Json) => ({ schemes: [{ id: 'good', name: 'Good', fixtures: [{ ...light, ...over }] }] });
const withLamp = (over: Json) => ({ catalogue: { lamps: [{ ...lamp, ...over }] } });
const withBeam = (beamAngleFullDeg: unknown) =>
  withLamp({ distribution: { kind: 'model', fluxLm: 450, beamAngleFullDeg, spillShare: 0 } });
const withLegs = (legs: Json[]) => ({
  schemes: [
    {
      id: 'good',
      name: 'Good',
      fixtures: [light],
      transformers: [{ id: 'T1', name: 'T1', at: [0, 0, 0], capacityVa: 150 }],
      runs: [{ id: 'A', name: 'A', transformerId: 'T1', tapV: 12, gauge: { kind: 'awg', awg: 12 }, legs }],
    },
  ],
});

describe('files that are taken', () => {
  it('reads the small file and the demo, and writes them back to the same document', () => {
    for (const text of [JSON.stringify(file()), demoText]) {
      const first = parseProperty(text);
      if (!first.ok) throw new Error(lines(first).join('\n'));
      const written = serialiseProperty(first.document);
      const second = parseProperty(written);
      expect(second).toEqual({ ok: true, document: first.document });
      if (second.ok) expect(serialiseProperty(second.document)).toBe(written);
    }
  });

  it('writes the same bytes whatever order the fields were set in', () => {
    const result = read();
    if (!result.ok) throw new Error('refused');
    const turned = Object.fromEntries(Object.entries(result.document).reverse()) as typeof result.document;
    expect(serialiseProperty(turned)).toBe(serialiseProperty(result.document));
    expect(Object.keys(JSON.parse(serialiseProperty(turned)) as Json).slice(0, 5)).toEqual([
      'format',
      'version',
      'name',
      'site',
      'buildings',
    ]);
  });

  it('takes a byte order mark, and text that looks like markup stays text', () => {
    const result = parseProperty(`\uFEFF${JSON.stringify(file({ name: '<script>alert(1)</script>' }))}`);
    expect(result.ok && result.document.name).toBe('<script>alert(1)</script>');
  });

  it('creates an empty property that its own reader takes', () => {
    expect(parseProperty(serialiseProperty(createEmptyProperty('New'))).ok).toBe(true);
  });
});

describe('files that are refused as a whole', () => {
  it('says where a file cut in half ends', () => {
    const half = demoText.slice(0, Math.floor(demoText.length / 2));
    const result = parseProperty(half);
    expect(result).toMatchObject({ ok: false, kind: 'json' });
    expect(lines(result)[0]).toMatch(/^is cut off or damaged at line \d+, column \d+/);
  });

  it('says what stands where it may not', () => {
    expect(lines(parseProperty('{\n "a": NaN}'))[0]).toContain('line 2, column 7');
    expect(lines(parseProperty('{\n "a": NaN}'))[0]).toContain('found "NaN}" where a value should stand');
  });

  it('finds the fault of any damaged text exactly where the first wrong token stands', () => {
    // Expected offsets counted by hand from the JSON grammar, RFC 8259.
    const cases: [string, number][] = [
      ['', 0],
      ['[1,]', 3],
      ['{"a" 1}', 5],
      ['{"a":1,}', 7],
      ['[01]', 1],
      ['{} x', 3],
      ['["a', 1],
      ['[1}', 2],
    ];
    for (const [text, offset] of cases) expect(lines(parseProperty(text))[0], text).toContain(`(character ${offset + 1} of`);
  });

  it('refuses a newer version and names both', () => {
    const result = read({ version: 99 });
    expect(result).toMatchObject({ ok: false, kind: 'newer' });
    expect(lines(result)[0]).toContain('version 99 was written by a newer program; this one reads up to version 2');
  });

  it('refuses what is no property file', () => {
    for (const text of ['[]', '3', 'null', '{"format":"other"}'])
      expect(parseProperty(text)).toMatchObject({ ok: false, kind: 'format' });
    expect(read({ version: 'two' })).toMatchObject({ ok: false, kind: 'invalid' });
  });

  it('names the limit a file goes past', () => {
    const many = Array.from({ length: 501 }, (_, i) => ({ ...light, id: `l${i}` }));
    const lights = read({ schemes: [{ id: 'good', name: 'Good', fixtures: many }] });
    expect(lights).toMatchObject({ ok: false, kind: 'limit' });
    expect(lines(lights)).toEqual([
      'schemes(id = good).fixtures: 501 lights with the existing ones, more than this program takes; accepted: at most 500',
    ]);
    const parts = Array.from({ length: 5001 }, (_, i) => ({ ...wall, id: `w${i}` }));
    expect(lines(read({ buildings: [{ id: 'h', name: 'H', parts }] }))[0]).toContain('at most 5000');
    // 201 × 200 m = 4.02 ha.
    const lot = [
      [0, 0],
      [201, 0],
      [201, 200],
      [0, 200],
    ];
    expect(lines(read({ site: { boundary: lot } }))).toEqual([
      'site.boundary: a lot of 4.02 ha, more than this program takes; accepted: at most 4 ha',
    ]);
  });
});

describe('errors of single fields', () => {
  const cases: [string, Json, string][] = [
    [
      'beam of 0',
      withBeam(0),
      'catalogue.lamps(id = p1).distribution.beamAngleFullDeg: 0 is less than it may be; accepted: 1 to 175',
    ],
    [
      'beam of 400',
      withBeam(400),
      'catalogue.lamps(id = p1).distribution.beamAngleFullDeg: 400 is more than it may be; accepted: 1 to 175',
    ],
    ['NaN as text', withLight({ at: [0, 'NaN', 0] }), 'schemes[0].fixtures(id = l3).at[1]: "NaN" is text; accepted: a number'],
    [
      'Infinity as text',
      withPart({ ...wall, heightM: 'Infinity' }),
      'buildings[0].parts(id = front).heightM: "Infinity" is text; accepted: a number, above 0, at most 60',
    ],
    [
      'wrong unit',
      withPart({ ...wall, heightM: undefined, heightFt: 9 }),
      'buildings[0].parts(id = front).heightFt: is not a field of this record; accepted: heightM',
    ],
    [
      'missing field',
      withLamp({ powerFactor: undefined }),
      'catalogue.lamps(id = p1).powerFactor: is missing; accepted: a number, 0.1 to 1',
    ],
    [
      'unknown kind',
      withPart({ ...wall, kind: 'arch' }),
      'buildings[0].parts(id = front).kind: "arch" is not one of the kinds; accepted: "wall"',
    ],
    [
      'unknown mount',
      withLight({ mount: 'magnet' }),
      'schemes[0].fixtures(id = l3).mount: "magnet" is not one of the accepted values; accepted: "stake"',
    ],
    [
      'script as an id',
      withLight({ id: '<script>' }),
      'schemes(id = good).fixtures[0].id: "<script>" has not the right form; accepted: an id of 1 to 64 letters',
    ],
    [
      'reflectance of 2',
      withPart({ ...wall, material: { reflectance: 2 } }),
      'buildings[0].parts(id = front).material.reflectance: 2 is more than it may be; accepted: 0 to 1',
    ],
    [
      'material of no form',
      withPart({ ...wall, material: 7 }),
      'material: 7 fits none of the accepted forms; accepted: text in quotation marks, or an object',
    ],
    [
      'ingress rating',
      withLight({ ingressRating: 'wet' }),
      'ingressRating: "wet" has not the right form; accepted: an ingress rating like IP65',
    ],
  ];
  it.each(cases)('%s', (_name, over, expected) => {
    expect(lines(read(over)).join('\n')).toContain(expected);
  });

  it('refuses a number too large for a double', () => {
    const text = JSON.stringify(file()).replace('"aim":[1,2,0]', '"aim":[1,1e999,0]');
    expect(lines(parseProperty(text))[0]).toBe(
      'schemes[0].fixtures(id = l3).aim[1]: Infinity is not a finite number; accepted: a number',
    );
  });

  it('refuses __proto__ like every unknown field', () => {
    const text = JSON.stringify(file()).replace('"name":"Test"', '"name":"Test","__proto__":{"x":1}');
    expect(lines(parseProperty(text))[0]).toContain('__proto__: is not a field of this record');
  });
});

describe('cross-checks', () => {
  const opening = { id: 'w1', kind: 'window', alongM: 2, sillM: 0.5, widthM: 1, heightM: 1 };
  const twist = [
    [0, 0],
    [4, 4],
    [4, 0],
    [0, 4],
  ];
  const table = { kind: 'table', gammaDeg: [0, 30, 20], cDeg: [0], candela: [[1, 2]] };
  const view = { id: 'v', name: 'v', eye: [0, 1, 2], lookAt: [0, 1, 2] };
  const cases: [string, Json, string][] = [
    [
      'two lights of one id',
      { schemes: [{ id: 'g', name: 'g', fixtures: [light, light] }] },
      'fixtures(id = l3).id: id l3 is used twice',
    ],
    ['a light and an existing one of one id', { existing: [light] }, 'fixtures(id = l3).id: id l3 is used twice'],
    [
      'a plant and a wall of one id',
      { water: [{ id: 'front', name: 'x', kind: 'pond', outline: square }] },
      'water(id = front).id: id front is used twice',
    ],
    [
      'unknown lamp',
      withLight({ lampId: 'gone' }),
      'fixtures(id = l3).lampId: there is no lamp of the catalogue gone; accepted: p1',
    ],
    ['unknown zone', withLight({ zoneId: 'gone' }), 'fixtures(id = l3).zoneId: there is no zone of the scheme gone'],
    [
      'unknown material',
      withPart({ ...wall, material: 'chocolate' }),
      'parts(id = front).material: there is no material "chocolate"',
    ],
    ['aim equal to place', withLight({ aim: light.at }), 'schemes[0].fixtures(id = l3).aim: is the place of the light itself'],
    ['wall of zero length', withPart({ ...wall, to: [0, 0] }), 'buildings[0].parts(id = front).to: the wall has zero length'],
    [
      'opening past the end',
      withPart({ ...wall, openings: [{ ...opening, alongM: 5.8 }] }),
      'openings(id = w1).alongM: the opening reaches 5.3 to 6.3 m along a wall of 6 m; accepted: 0.5 to 5.5',
    ],
    [
      'opening above the wall',
      withPart({ ...wall, openings: [{ ...opening, sillM: 2.5 }] }),
      'openings(id = w1).heightM: its head, 3.5 m, is above the wall, 3 m; accepted: at most 0.5',
    ],
    [
      'openings over each other',
      withPart({ ...wall, openings: [opening, { ...opening, id: 'w2', alongM: 2.9 }] }),
      'openings(id = w2): lies over opening w1',
    ],
    [
      'panel of no area',
      withPart({ id: 'p', kind: 'panel', corner: [0, 0, 0], u: [1, 0, 0], v: [-2, 0, 0], material: { reflectance: 0.5 } }),
      'parts(id = p).v: is parallel to u',
    ],
    [
      'roof upside down',
      withPart({
        id: 'r',
        kind: 'roof',
        form: 'hip',
        centre: [0, 0],
        sizeM: [4, 4],
        eavesM: 5,
        ridgeM: 4,
        material: { reflectance: 0.2 },
      }),
      'parts(id = r).ridgeM: 4 m is not above eavesM, 5 m',
    ],
    [
      'outline that crosses itself',
      { site: { boundary: twist } },
      'site.boundary: crosses itself at x 2.00, z 2.00 (sides 1 and 3)',
    ],
    [
      'outline that repeats its first corner',
      { site: { boundary: [...square, square[0]] } },
      'site.boundary[4]: the last corner repeats the first',
    ],
    [
      'outline in one line',
      {
        site: {
          boundary: [
            [0, 0],
            [1, 0],
            [2, 0],
          ],
        },
      },
      'site.boundary: holds no area',
    ],
    [
      'normal of zero',
      { receivers: [{ id: 'r', at: [0, 0, 0], normal: [0, 0, 0] }] },
      'receivers(id = r).normal: has zero length',
    ],
    ['eye that looks at itself', { viewpoints: [view] }, 'viewpoints(id = v).lookAt: is the eye itself'],
    ['start under hold', withLamp({ startV: 8 }), 'lamps(id = p1).startV: 8 V is under lowestV, 9 V'],
    ['highest under start', withLamp({ highestV: 9.5 }), 'lamps(id = p1).highestV: 9.5 V is under startV, 10 V'],
    [
      'table angles that fall',
      withLamp({ distribution: table }),
      'distribution.gammaDeg[2]: 20 follows 30; accepted: angles that ascend',
    ],
    [
      'table of another shape',
      withLamp({ distribution: table }),
      'distribution.candela[0]: has 2 values; accepted: 3, one for each angle of gammaDeg',
    ],
    ['leg from nowhere', withLegs([{ id: 'a', fromId: 'x', lengthM: 1 }]), 'legs(id = a).fromId: there is no leg x in this run'],
    [
      'legs in a ring',
      withLegs([
        { id: 'a', fromId: 'b', lengthM: 1 },
        { id: 'b', fromId: 'a', lengthM: 1 },
      ]),
      'legs(id = a).fromId: leg a leads back to itself',
    ],
    [
      'leg to no light',
      withLegs([{ id: 'a', fixtureId: 'gone', lengthM: 1 }]),
      'legs(id = a).fixtureId: there is no light of the scheme gone',
    ],
    [
      'a light on two legs',
      withLegs([
        { id: 'a', fixtureId: 'l3', lengthM: 1 },
        { id: 'b', fixtureId: 'l3', lengthM: 1 },
      ]),
      'legs(id = b).fixtureId: light l3 hangs on leg a already',
    ],
  ];
  it.each(cases)('%s', (_name, over, expected) => {
    const result = read(over);
    expect(result).toMatchObject({ ok: false, kind: 'invalid' });
    expect(lines(result).join('\n')).toContain(expected);
  });
});

describe('no input makes it throw', () => {
  const seed = 20260915;
  it(`arbitrary text and JSON, seed ${seed}`, () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.json()), (text) => {
        expect(typeof parseProperty(text).ok).toBe('boolean');
      }),
      { seed, numRuns: 300 },
    );
  });

  it(`a sound file with one value replaced by any other, seed ${seed}`, () => {
    const base = JSON.parse(demoText) as Json;
    const places = paths(base);
    fc.assert(
      fc.property(fc.nat(places.length - 1), fc.jsonValue(), fc.constantFrom(1, 2), (place, value, version) => {
        const result = parseProperty(JSON.stringify({ ...(replaced(base, places[place]!, value) as Json), version }));
        if (!result.ok) expect(result.errors.length).toBeGreaterThan(0);
      }),
      { seed, numRuns: 150 },
    );
  });

  it('nesting a hundred thousand deep', () => {
    expect(parseProperty('['.repeat(100_000)).ok).toBe(false);
    const deep = '['.repeat(100_000) + ']'.repeat(100_000);
    expect(parseProperty(deep).ok).toBe(false);
    expect(parseProperty(JSON.stringify(file({ site: 'here' })).replace('"here"', deep)).ok).toBe(false);
    expect(parseProperty(JSON.stringify(file({ note: 'here' })).replace('"here"', deep)).ok).toBe(false);
  });
});

function paths(value: unknown, at: (string | number)[] = []): (string | number)[][] {
  if (typeof value !== 'object' || value === null) return [at];
  return [at, ...Object.entries(value).flatMap(([k, v]) => paths(v, [...at, Array.isArray(value) ? Number(k) : k]))];
}

function replaced(value: unknown, at: readonly (string | number)[], put: unknown): unknown {
  const [head, ...rest] = at;
  if (head === undefined) return put;
  if (Array.isArray(value)) return value.map((v, i) => (i === head ? replaced(v, rest, put) : v));
  return { ...(value as Json), [head]: replaced((value as Json)[head], rest, put) };
}

describe('schema', () => {
  it('asks for what the reader asks for', () => {
    const schema = propertyJsonSchema() as { required: string[]; properties: Json };
    expect(schema.required).toEqual(['format', 'version', 'name', 'site']);
    expect(Object.keys(schema.properties)).toContain('schemes');
    expect(JSON.stringify(schema)).toContain('beamAngleFullDeg');
  });
});
