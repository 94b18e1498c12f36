import { describe, expect, it } from 'vitest';
import { buildKit, cautionOf, kitCsv } from '../../src/kit/index.ts';
import { type Mount, mount, propertyRecord } from '../../src/scene/index.ts';

const lamp = (id: string, fluxLm: number, electrical = 'constantPower') => ({
  id,
  name: id,
  distribution: { kind: 'model', fluxLm, beamAngleFullDeg: 24, spillShare: 0.1 },
  cctK: 2700,
  powerW: 5.5,
  powerFactor: 0.7,
  electrical,
  lowestV: 9,
  startV: 10,
  highestV: 15,
});

function property(
  lights: { id: string; mount: Mount; at?: number[]; lampId?: string; lens?: object; shield?: object; name?: string }[],
  extra: object = {},
) {
  return propertyRecord.parse({
    format: 'gloaming-property',
    version: 1,
    name: 'Kit test',
    site: {},
    catalogue: { lamps: [lamp('a', 450), lamp('h', 300, 'resistive')] },
    buildings: [{ id: 'b', name: 'b', parts: [{ kind: 'duct', id: 'd1', from: [0, 0, 0], to: [3, 0, 4], diameterM: 0.032 }] }],
    schemes: [
      {
        id: 's',
        name: 'S',
        fixtures: lights.map(({ id, mount: kind, at = [0, 0, 0], lampId = 'a', ...rest }) => ({
          id,
          mount: kind,
          at,
          aim: [0, 9, 0],
          lampId,
          ...rest,
        })),
        transformers: [{ id: 'T1', name: 'T1', at: [0, 0, 0], capacityVa: 150 }],
        runs: [
          {
            id: 'R1',
            name: 'R1',
            transformerId: 'T1',
            tapV: 12,
            protectionA: 10,
            gauge: { kind: 'awg', awg: 12 },
            slackShare: 0.15,
            legs: [
              { id: 'g1', lengthM: 10, ductId: 'd1' },
              ...lights.map((one, i) => ({ id: `k${i}`, fromId: 'g1', lengthM: 2, fixtureId: one.id })),
            ],
          },
        ],
      },
    ],
    ...extra,
  });
}

const quantity = (kit: ReturnType<typeof buildKit>, pattern: RegExp) =>
  kit.parts.filter((part) => pattern.test(part.description)).reduce((sum, part) => sum + part.quantity, 0);

describe('kit counts (quantities: common practice, no source)', () => {
  const everyMount = mount.options.map((kind, i) => ({ id: `L${i}`, mount: kind }));
  const kit = buildKit(property(everyMount), 's');

  it('lists as many lights as the scheme has', () => {
    const lights = kit.parts.filter((part) => part.group === 'light');
    expect(lights.reduce((sum, part) => sum + part.quantity, 0)).toBe(mount.options.length);
    expect(lights.flatMap((part) => part.usedBy).sort()).toEqual(everyMount.map((one) => one.id).sort());
  });
  it('each chosen mount brings parts of its own', () => {
    for (const { id, mount: kind } of everyMount) {
      const parts = kit.parts.filter((part) => part.group === 'mount' && part.usedBy.includes(id));
      if (kind === 'free') expect(parts).toEqual([]);
      else expect(parts.length, kind).toBeGreaterThan(0);
    }
  });
  it('splices: one a light and a tenth more, rounded up; joints beside them', () => {
    expect(quantity(kit, /^Splice at a light/)).toBe(Math.ceil(13 * 1.1));
    expect(quantity(kit, /^Joint of cables/)).toBe(1);
    const ten = buildKit(property(Array.from({ length: 10 }, (_, i) => ({ id: `L${i}`, mount: 'stake' as const }))), 's');
    expect(quantity(ten, /^Splice at a light/)).toBe(11);
  });
  it('cable with slack, sleeve, breaker, transformer, spare lamps', () => {
    expect(quantity(kit, /cable 12 AWG/)).toBe(Math.ceil((10 + 13 * 2) * 1.15));
    expect(quantity(kit, /Sleeve or duct 32 mm/)).toBe(5);
    expect(quantity(kit, /Breaker or fuse 10 A/)).toBe(1);
    expect(quantity(kit, /transformer 150 VA/)).toBe(1);
    expect(quantity(kit, /^Spare lamp/)).toBe(2);
  });
  it('a riser has its length and a stay above 0.6 m', () => {
    const risers = buildKit(
      property([
        { id: 'low', mount: 'riser', at: [0, 0.45, 0] },
        { id: 'tall', mount: 'riser', at: [1, 0.9, 0] },
      ]),
      's',
    );
    expect(quantity(risers, /riser 0\.5 m/)).toBe(1);
    expect(quantity(risers, /riser 0\.9 m/)).toBe(1);
    expect(risers.parts.find((part) => part.description.startsWith('Stay'))?.usedBy).toEqual(['tall']);
  });
  it('lens and shield are accessories; lamps group by kind', () => {
    const listed = buildKit(
      property([
        { id: 'x', mount: 'stake', lens: { kind: 'frosted' }, shield: { kind: 'louvre', cutOffDeg: 45 } },
        { id: 'y', mount: 'stake' },
        { id: 'z', mount: 'stake', lampId: 'h' },
      ]),
      's',
    );
    expect(listed.parts.filter((part) => part.group === 'accessory').map((part) => part.description)).toEqual([
      'Frosted lens',
      'Louvre, cut-off 45°',
    ]);
    expect(listed.parts.filter((part) => part.group === 'light').map((part) => part.quantity)).toEqual([2, 1]);
    expect(quantity(listed, /^Spare lamp/)).toBe(4);
  });
});

describe('cautions of the sheet (trade 6, screens 10)', () => {
  const kit = buildKit(
    property([
      { id: 'L1', mount: 'tree', at: [0, 7, 0] },
      { id: 'L2', mount: 'inGrade' },
    ]),
    's',
  );
  it('each is dated and defers to local code', () => {
    for (const caution of kit.cautions) expect(caution).toMatch(/\(\d{4}-\d{2}; check local code\.\)$/);
  });
  it('acts bring theirs', () => {
    const text = kit.cautions.join('\n');
    for (const word of ['Wiring:', 'Outlet:', 'Digging:', 'Tree mount:', 'Height:', 'Above 6 m', 'Heat:', 'Splices:'])
      expect(text).toContain(word);
    expect(text).not.toContain('Water:');
    expect(cautionOf('water')).toContain('licensed electrician');
  });
  it('no sheet says safe, OK, passes or compliant', () => {
    const text = [...kit.cautions, ...kit.assumptions, ...kit.parts.map((part) => part.description)].join('\n');
    expect(text).not.toMatch(/\b(safe|ok|okay|passes|pass|compliant|complies)\b/i);
  });
  it('no lights: no lights listed, the picture caution stays', () => {
    const empty = buildKit(property([]), 's');
    expect(empty.parts.filter((part) => part.group === 'light')).toEqual([]);
    expect(empty.cautions.some((line) => line.startsWith('Preview, not a promise'))).toBe(true);
  });
});

describe('kit CSV (RFC 4180)', () => {
  it('quotes commas and quotes, and disarms formulas', () => {
    const csv = kitCsv({
      parts: [{ description: '=HYPERLINK("x"), bad', quantity: 2, unit: 'each', usedBy: ['L1', 'L2'], group: 'light' }],
      cautions: ['a'],
      assumptions: [],
    });
    expect(csv).toBe('description,quantity,unit,usedBy\r\n"\'=HYPERLINK(""x""), bad",2,each,L1 L2\r\nCaution: a,,,\r\n');
  });
});
