import { describe, expect, it } from 'vitest';
import { findMaterial } from '../../src/materials/index.ts';
import {
  courseRecord,
  fixtureRecord,
  lampRecord,
  openingRecord,
  parseProperty,
  partRecord,
  plantPart,
  serialiseProperty,
  viewpointRecord,
} from '../../src/scene/index.ts';
import { LAMP_FIELDS, OPTICS_FIELDS, placeFields, REASON_FIELDS } from '../../src/ui/margin/lights/lightFields.ts';
import { COURSE_FIELDS } from '../../src/ui/margin/property/Courses.tsx';
import { OPENING_FIELDS } from '../../src/ui/margin/property/Openings.tsx';
import { PLANT_FIELDS } from '../../src/ui/margin/property/Planting.tsx';
import { ADDERS, newPart, PART_FIELDS } from '../../src/ui/margin/property/partFields.ts';
import { VIEW_FIELDS } from '../../src/ui/margin/property/SeatsViews.tsx';
import { type FieldSpec, readPath, writePath } from '../../src/ui/parts/fields.ts';
import { testProperty } from '../editor/property.ts';

/** Every value a table offers for a record: both ends of each number, each choice, both sides of each switch. */
function offered<R extends object>(fields: readonly FieldSpec<R>[], record: R): { label: string; next: R }[] {
  return fields.flatMap((field) => {
    const put = (value: unknown) => ({ label: field.label, next: writePath(record, field.path, value) as R });
    switch (field.kind) {
      case 'number': {
        const ends = [field.min, typeof field.max === 'number' ? field.max : field.max(record)];
        return ends.map((v) => (field.set ? { label: field.label, next: field.set(record, v, String(v)) } : put(v)));
      }
      case 'choice':
        return field.options.map(([v]) => put(field.parse ? field.parse(v) : v));
      case 'toggle':
        return [put(true), put(false)];
      case 'material':
        return [put('brickOld'), put({ reflectance: 0.3 })];
      default:
        return [put('Name of it')];
    }
  });
}

const refused = (schema: { safeParse(v: unknown): { success: boolean } }, values: { label: string; next: unknown }[]) =>
  values.filter((v) => !schema.safeParse(v.next).success).map((v) => `${v.label}: ${JSON.stringify(v.next)}`);

const fixture = testProperty().schemes[0]!.fixtures[0]!;

describe('tables of fields against the records of the file', () => {
  it.each(ADDERS)('a new %s is taken by the file with a known material, and so is every value its fields offer', (adder) => {
    const part = newPart(adder, `${adder}-1`, 'New', [1, 0.2, 3]);
    expect(refused(partRecord, [{ label: 'new', next: part }, ...offered(PART_FIELDS[part.kind], part)])).toEqual([]);
    if ('material' in part) expect(findMaterial(String(part.material))).toBeDefined();
    const property = testProperty();
    property.buildings[0]!.parts.push(part);
    expect(parseProperty(serialiseProperty(property)).ok).toBe(true);
  });

  it('openings, courses, plants, views, lamps and lights keep to their records', () => {
    const opening = openingRecord.parse({ id: 'o', kind: 'window', alongM: 1, sillM: 1, widthM: 1, heightM: 1 });
    const course = courseRecord.parse({ id: 'c', undersideM: 1, heightM: 0.2, projectionM: 0.05, material: 'limestone' });
    const view = viewpointRecord.parse({ id: 'v', name: 'v', eye: [0, 1.6, 9], lookAt: [0, 2, 0] });
    const plant = plantPart.parse({
      kind: 'plant',
      id: 'p',
      name: 'Birch',
      habit: 'hedge',
      at: [0, 3],
      heightM: 5,
      spreadM: 3,
      crownBaseM: 1,
      trunkDiameterM: 0.1,
    });
    const lamp = testProperty().catalogue.lamps[0]!;
    expect(refused(openingRecord, offered(OPENING_FIELDS, opening))).toEqual([]);
    expect(refused(courseRecord, offered(COURSE_FIELDS, course))).toEqual([]);
    expect(refused(viewpointRecord, offered(VIEW_FIELDS, view))).toEqual([]);
    expect(refused(plantPart, offered(PLANT_FIELDS, plant))).toEqual([]);
    expect(refused(lampRecord, offered(LAMP_FIELDS, lamp))).toEqual([]);
    expect(refused(fixtureRecord, offered([...OPTICS_FIELDS, ...REASON_FIELDS], fixture))).toEqual([]);
    expect(refused(fixtureRecord, offered(placeFields(testProperty(), 'point'), fixture))).toEqual([]);
  });

  it('a typed roof pitch sets the ridge: rise = half the span times the tangent', () => {
    const roof = newPart('gable', 'r', 'Roof', [0, 0, 0]);
    const pitch = PART_FIELDS.roof.find((f) => f.label === 'Pitch');
    if (roof.kind !== 'roof' || pitch?.kind !== 'number') throw new Error('no pitch');
    const steep = pitch.set?.(roof, 45, '45');
    // Span 6 m across the ridge: half of it is 3 m, and tan 45° = 1.
    expect(steep && readPath(steep, 'ridgeM')).toBeCloseTo(2.6 + 3, 3);
    expect(steep && pitch.get?.(steep)).toBeCloseTo(45, 3);
  });

  // Halogen: light ∝ V^3.4 (IES handbook, facts 3.4): .9^3.4 = .699 of the light at 10.8 of 12 V; a driver holds its light.
  it('a lamp says how its light follows the volts, and keeps a record of it only where its kind does otherwise', () => {
    const [exponent, full] = ['Light by volts, exponent', 'Full light at'].map((label) =>
      LAMP_FIELDS.find((f) => f.label === label),
    );
    if (exponent?.kind !== 'number' || full?.kind !== 'number') throw new Error('no such field');
    const driver = { ...testProperty().catalogue.lamps[0]!, electrical: 'constantPower' as const };
    const halogen = { ...driver, electrical: 'resistive' as const };
    expect([exponent.get!(driver), full.when!(driver)]).toEqual([0, false]);
    expect([exponent.get!(halogen), full.get!(halogen)]).toEqual([3.4, 12]);
    expect(exponent.hint!(halogen)).toBe('at 10.8 V 70 % of its light, as halogen does');
    const own = full.set!(exponent.set!(driver, 2, '2'), 24, '24');
    expect(own.outputFollowsVolts).toEqual({ ratedV: 24, exponent: 2 });
    expect(exponent.hint!(own)).toBe('at 21.6 V 81 % of its light');
    expect(lampRecord.safeParse(own).success).toBe(true);
    expect('outputFollowsVolts' in exponent.set!(own, 0, '0')).toBe(false);
    expect(
      'outputFollowsVolts' in exponent.set!({ ...halogen, outputFollowsVolts: { ratedV: 12, exponent: 1 } }, 3.4, '3.4'),
    ).toBe(false);
  });

  it('writes one value and leaves the rest of the record as it was', () => {
    const record = { a: { b: [1, 2, 3] }, c: 'kept' };
    expect(writePath(record, 'a.b.1', 9)).toEqual({ a: { b: [1, 9, 3] }, c: 'kept' });
    expect(record.a.b[1]).toBe(2);
    expect(writePath({ a: 1, b: 2 }, 'b', undefined)).toEqual({ a: 1 });
  });
});
