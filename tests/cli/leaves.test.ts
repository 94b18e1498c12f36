import { mkdirSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { plantingRecord, propertyRecord, serialiseProperty } from '../../src/scene/index.ts';
import { jsonOf, runCli } from './runCli.ts';

/** A lamp that shines along +Z through a hedge on a point behind it. */
function file(evergreen: boolean): string {
  const hedge = plantingRecord.parse({
    kind: 'plant',
    id: 'hedge',
    name: 'a hedge',
    habit: 'hedge',
    at: [0, 0],
    heightM: 2,
    spreadM: 0.7,
    lengthM: 3,
    crownBaseM: 0,
    trunkDiameterM: 0.05,
    evergreen,
    seed: 5,
  });
  const lamp = {
    id: 'lamp',
    name: 'lamp',
    distribution: { kind: 'model', fluxLm: 400, beamAngleFullDeg: 36, spillShare: 0 },
    cctK: 2700,
    powerW: 5,
    powerFactor: 1,
    lowestV: 9,
    startV: 10,
    highestV: 15,
  };
  const document = propertyRecord.parse({
    format: 'gloaming-property',
    version: 1,
    name: 'Hedge',
    site: {},
    planting: [hedge],
    catalogue: { lamps: [lamp] },
    schemes: [{ id: 's', name: 'S', fixtures: [{ id: 'L1', at: [0, 1, -3], aim: [0, 1, 3], lampId: 'lamp' }] }],
  });
  const path = `tests/.output/hedge-${evergreen}.property.json`;
  mkdirSync('tests/.output', { recursive: true });
  writeFileSync(path, serialiseProperty(document));
  return path;
}

const points = 'tests/.output/hedge-points.csv';
const through = async (evergreen: boolean, leaves: string): Promise<number> => {
  writeFileSync(points, [-0.3, -0.1, 0.1, 0.3].map((x) => `${x},1,2,0,0,-1`).join('\n'));
  const read = await jsonOf('light', file(evergreen), '--points', points, '--leaves', leaves);
  return read.points.reduce((sum: number, one: { directLx: number }) => sum + one.directLx, 0);
};

/* Common practice, no source: evergreens keep their leaves in winter, others drop theirs and keep twigs. */
describe('--leaves bare', () => {
  it('an evergreen hedge keeps all of its shade; one that drops its leaves lets more through', async () => {
    mkdirSync('tests/.output', { recursive: true });
    expect(await through(true, 'bare')).toBe(await through(true, 'on'));
    expect(await through(false, 'bare')).toBeGreaterThan(1.5 * (await through(false, 'on')));
  });
  it('another word is refused', async () => {
    const asked = await runCli('light', file(true), '--at', '0,1,2', '--normal', '0,0,-1', '--leaves', 'few');
    expect(asked).toMatchObject({ status: 2, err: expect.stringContaining('--leaves few: on, bare are accepted') });
  });
});
