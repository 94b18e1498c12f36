import { readdirSync, readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { CURRENT_VERSION, migrateFile, migrations } from '../../../src/scene/document/versions.ts';
import { parseProperty } from '../../../src/scene/index.ts';

const kept = readdirSync('tests/fixtures').filter((name) => /^version-\d+\.property\.json$/.test(name));
const textOf = (name: string): string => readFileSync(`tests/fixtures/${name}`, 'utf8');

it('versions count on without a gap', () => {
  expect(migrations.map((m) => m.to)).toEqual(migrations.map((_, i) => i + 2));
  expect(CURRENT_VERSION).toBe(2);
});

it('SplitBeamAngle keeps the full angle and states spill and power factor', () => {
  const result = parseProperty(textOf('version-1.property.json'));
  if (!result.ok) throw new Error(JSON.stringify(result.errors));
  expect(result.migratedFrom).toBe(1);
  expect(result.document.version).toBe(2);
  expect(result.document.catalogue.lamps).toMatchObject([
    { id: 'old-250', powerFactor: 0.7, distribution: { kind: 'model', fluxLm: 250, beamAngleFullDeg: 36, spillShare: 0.1 } },
    { id: 'old-450', powerFactor: 0.92, distribution: { kind: 'model', fluxLm: 450, beamAngleFullDeg: 24, spillShare: 0.1 } },
  ]);
});

it('runs nothing on a file of the current version', () => {
  const file = { version: CURRENT_VERSION, catalogue: { lamps: [] } };
  expect(migrateFile(file, CURRENT_VERSION)).toEqual({ file, applied: [] });
});

it('names the field a version 1 lamp lacks', () => {
  const file = JSON.parse(textOf('version-1.property.json')) as { catalogue: { lamps: { beamDeg?: number }[] } };
  delete file.catalogue.lamps[0]!.beamDeg;
  const result = parseProperty(JSON.stringify(file));
  expect(!result.ok && result.errors[0]).toMatchObject({
    path: 'catalogue.lamps(id = old-250).distribution.beamAngleFullDeg',
    reason: 'is missing',
  });
});

it('every kept file still opens, and together they run every migration', () => {
  const ran = new Set<string>();
  for (const name of kept) {
    expect(parseProperty(textOf(name)).ok, name).toBe(true);
    const file = JSON.parse(textOf(name)) as Record<string, unknown>;
    for (const done of migrateFile(file, Number(file.version)).applied) ran.add(done);
  }
  expect([...ran].sort()).toEqual(migrations.map((m) => m.name).sort());
});
