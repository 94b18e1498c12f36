import type { OpeningRecord, PartOf, PartRecord } from '../../records/building.ts';
import type { Vec2, Vec3 } from '../../records/common.ts';
import type { FixtureRecord } from '../../records/fixture.ts';
import type { PropertyDocument } from '../../records/property.ts';
import type { ErrorList, PathStep } from '../errors.ts';
import { checkOutline } from './outline.ts';

/** Shortest length that is a length, metres. */
const SHORTEST_M = 0.001;
/** Play left for figures that were added up. */
const SLACK_M = 1e-6;

/** Nothing has zero length, points at itself, or stands outside what holds it. */
export function checkGeometry(document: PropertyDocument, list: ErrorList): void {
  document.buildings.forEach((building, b) => {
    building.parts.forEach((part, p) => {
      checkPart(part, ['buildings', b, 'parts', p], list);
    });
  });
  document.planting.forEach((plant, i) => {
    if (plant.kind === 'plant' && plant.crownBaseM >= plant.heightM) {
      list.add(
        ['planting', i, 'crownBaseM'],
        `${plant.crownBaseM} m is not under heightM, ${plant.heightM} m`,
        'less than heightM',
      );
    }
  });
  checkOutlines(document, list);
  checkPeople(document, list);
  document.existing.forEach((fixture, i) => {
    checkAim(fixture, ['existing', i], list);
  });
  document.schemes.forEach((scheme, s) => {
    scheme.fixtures.forEach((fixture, i) => {
      checkAim(fixture, ['schemes', s, 'fixtures', i], list);
    });
  });
}

const lengthM = (v: readonly number[]): number => Math.hypot(...v);
const between = (a: readonly number[], b: readonly number[]): number => lengthM(a.map((value, i) => value - b[i]!));

function checkAim(fixture: FixtureRecord, steps: readonly PathStep[], list: ErrorList): void {
  if (between(fixture.at, fixture.aim) < SHORTEST_M) {
    list.add([...steps, 'aim'], 'is the place of the light itself', 'a point the light shines at, 1 mm or more from "at"');
  }
}

function checkPart(part: PartRecord, steps: readonly PathStep[], list: ErrorList): void {
  if ((part.kind === 'wall' || part.kind === 'railing' || part.kind === 'duct') && between(part.from, part.to) < SHORTEST_M) {
    list.add([...steps, 'to'], `the ${part.kind} has zero length`, 'a point 1 mm or more from "from"');
  } else if (part.kind === 'wall') {
    checkOpenings(part, steps, list);
  }
  if (part.kind === 'bar') checkPath(part.path, steps, list);
  if (part.kind === 'panel') checkPanel(part.u, part.v, steps, list);
  if (part.kind === 'roof' && (part.form === 'flat' ? part.ridgeM < part.eavesM : part.ridgeM <= part.eavesM)) {
    list.add([...steps, 'ridgeM'], `${part.ridgeM} m is not above eavesM, ${part.eavesM} m`, 'more than eavesM');
  }
}

function checkPath(path: readonly Vec3[], steps: readonly PathStep[], list: ErrorList): void {
  path.slice(1).forEach((point, i) => {
    if (between(point, path[i]!) < SHORTEST_M) {
      list.add([...steps, 'path', i + 1], 'is the point before it', 'a point 1 mm or more from the last one');
    }
  });
}

function checkPanel(u: Vec3, v: Vec3, steps: readonly PathStep[], list: ErrorList): void {
  for (const [name, side] of [
    ['u', u],
    ['v', v],
  ] as const) {
    if (lengthM(side) < SHORTEST_M) list.add([...steps, name], 'has zero length', 'a side 1 mm or longer');
  }
  const cross: Vec3 = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  if (lengthM(u) >= SHORTEST_M && lengthM(v) >= SHORTEST_M && lengthM(cross) < 1e-6 * lengthM(u) * lengthM(v)) {
    list.add([...steps, 'v'], 'is parallel to u, so the panel has no area', 'a side across u');
  }
}

function checkOpenings(wall: PartOf<'wall'>, steps: readonly PathStep[], list: ErrorList): void {
  const length = between(wall.from, wall.to);
  wall.openings.forEach((opening, i) => {
    const at = [...steps, 'openings', i];
    const left = opening.alongM - opening.widthM / 2;
    const right = opening.alongM + opening.widthM / 2;
    if (left < -SLACK_M || right > length + SLACK_M) {
      const room = `${figure(opening.widthM / 2)} to ${figure(length - opening.widthM / 2)}`;
      list.add(
        [...at, 'alongM'],
        `the opening reaches ${figure(left)} to ${figure(right)} m along a wall of ${figure(length)} m`,
        room,
      );
    }
    const headM = opening.sillM + opening.heightM;
    if (headM > wall.heightM + SLACK_M) {
      list.add(
        [...at, 'heightM'],
        `its head, ${figure(headM)} m, is above the wall, ${figure(wall.heightM)} m`,
        `at most ${figure(wall.heightM - opening.sillM)}`,
      );
    }
    const other = wall.openings.slice(0, i).find((earlier) => overlap(earlier, opening));
    if (other) list.add(at, `lies over opening ${other.id}`, 'openings apart from one another');
  });
}

function overlap(a: OpeningRecord, b: OpeningRecord): boolean {
  const across = Math.abs(a.alongM - b.alongM) < (a.widthM + b.widthM) / 2 - SLACK_M;
  const up = a.sillM < b.sillM + b.heightM - SLACK_M && b.sillM < a.sillM + a.heightM - SLACK_M;
  return across && up;
}

const figure = (valueM: number): string => String(Number(valueM.toFixed(3)));

function checkOutlines(document: PropertyDocument, list: ErrorList): void {
  const check = (outline: readonly Vec2[] | undefined, ...steps: PathStep[]): void => {
    if (outline) checkOutline(outline, steps, list);
  };
  check(document.site.boundary, 'site', 'boundary');
  for (const [i, zone] of document.site.noLightZones.entries()) check(zone.outline, 'site', 'noLightZones', i, 'outline');
  for (const [i, level] of document.ground.levels.entries()) check(level.outline, 'ground', 'levels', i, 'outline');
  for (const [i, patch] of document.ground.patches.entries()) check(patch.outline, 'ground', 'patches', i, 'outline');
  for (const [i, water] of document.water.entries()) check(water.outline, 'water', i, 'outline');
}

function checkPeople(document: PropertyDocument, list: ErrorList): void {
  const normal = (n: Vec3, steps: readonly PathStep[]): void => {
    if (lengthM(n) < 1e-9) list.add(steps, 'has zero length', 'a direction such as [0, 1, 0]');
  };
  for (const [i, receiver] of document.receivers.entries()) normal(receiver.normal, ['receivers', i, 'normal']);
  for (const [i, window] of document.site.neighbourWindows.entries()) {
    normal(window.normal, ['site', 'neighbourWindows', i, 'normal']);
  }
  document.viewpoints.forEach((view, i) => {
    if (between(view.eye, view.lookAt) < SHORTEST_M) {
      list.add(['viewpoints', i, 'lookAt'], 'is the eye itself', 'a point looked at, 1 mm or more from the eye');
    }
  });
}
