import { describe, expect, it } from 'vitest';
import type { ReviewInput } from '../../src/review/index.ts';
import { buildScene, type Vec3 } from '../../src/scene/index.ts';
import { findKind, input, judgedModel, light, property } from './helpers.ts';

const wall = {
  kind: 'wall',
  id: 'w',
  name: 'retaining wall',
  from: [-2, 0],
  to: [2, 0],
  heightM: 1,
  material: { reflectance: 0.5 },
  freeStanding: true,
};
const planter = { kind: 'box', id: 'planter', centre: [0, 0.3, 0.25], sizeM: [1, 0.8, 0.1], material: { reflectance: 0.2 } };
const judged = (at: Vec3, aim: Vec3, ...more: object[]): ReviewInput => {
  const document = property({
    lamps: [{ id: 'lamp', fluxLm: 60, beamAngleFullDeg: 90 }],
    buildings: [{ id: 'b', name: 'b', parts: [wall, ...more] }],
    scheme: { fixtures: [light('L1', at, aim, { mount: 'step' })] },
  });
  return input(document, judgedModel(buildScene(document)));
};

/*
 * A lens flush in a wall, 0.3 m above the ground it is there for. By the point formula a lens that looks out of the plane it
 * sits in brings that plane nothing (cosine of incidence 0), and all that it sends down within half a metre is its work.
 */
describe('a lens set flush in a wall', () => {
  const flush = judged([0, 0.3, 0.01], [0, 0, 0.3]);
  it('makes no hot spot on the wall that it is set in', () => {
    expect(findKind(flush, 'hotSpot').filter((one) => one.subject.includes('w/outer'))).toEqual([]);
  });
  it('is not blocked by the ground before it', () => {
    expect(findKind(flush, 'blockedLens')).toEqual([]);
  });
  it('is blocked by a planter 0.2 m before it: what passes over and beside it apart', () => {
    const [finding] = findKind(judged([0, 0.3, 0.01], [0, 0.3, 1], planter), 'blockedLens');
    expect(finding).toMatchObject({ severity: 'warn', subject: 'L1' });
  });
  it('one that stands 0.1 m off the wall and shines along it still makes a hot spot there', () => {
    const findings = findKind(judged([0, 0.1, 0.1], [0, 1, 0.02]), 'hotSpot');
    expect(findings.map((one) => one.subject)).toContain('L1 × w/outer');
  });
  it('one that looks along its wall from 1 cm is no lens of that wall', () => {
    const findings = findKind(judged([0, 0.1, 0.02], [0, 1, 0.02]), 'hotSpot');
    expect(findings.map((one) => one.subject)).toContain('L1 × w/outer');
  });
});

it('a dark stretch of a house is named by the wall that stands there, not by the flat behind its parapet', () => {
  const ring: [string, number[], number[]][] = [
    ['front', [-9, 0], [9, 0]],
    ['right', [9, 0], [9, -3]],
    ['back', [9, -3], [-9, -3]],
    ['left', [-9, -3], [-9, 0]],
  ];
  const parts = ring.map(([id, from, to]) => ({ ...wall, id, name: `${id} wall`, from, to, heightM: 3, freeStanding: false }));
  const document = property({
    lamps: [{ id: 'lamp', fluxLm: 400, beamAngleFullDeg: 60 }],
    viewpoints: [{ id: 'street', name: 'Street', eye: [0, 1.6, 14], lookAt: [0, 1.6, 0], fieldDeg: 60 }],
    buildings: [{ id: 'b', name: 'b', parts }],
    scheme: { fixtures: [-7, -4.5, 4.5, 7].map((x, i) => light(`L${i}`, [x, 1.5, 1.2], [x, 1.5, 0])) },
  });
  const scene = buildScene(document);
  expect(scene.faces.find((face) => face.partId === 'front')!.name).toContain('parapet');
  const [gap] = findKind(input(document, judgedModel(scene)), 'darkGap');
  expect(gap!.message).toMatch(/^Dark gap: front wall, \d/);
});
