import type { LampRecord } from '../../records/lamp.ts';
import type { PropertyDocument } from '../../records/property.ts';
import type { ErrorList, PathStep } from '../errors.ts';

type Table = Extract<LampRecord['distribution'], { kind: 'table' }>;

/** Volts of each lamp are in order, and measured tables have the shape they claim. */
export function checkLamps(document: PropertyDocument, list: ErrorList): void {
  document.catalogue.lamps.forEach((lamp, i) => {
    const steps: PathStep[] = ['catalogue', 'lamps', i];
    if (lamp.startV < lamp.lowestV) {
      list.add(
        [...steps, 'startV'],
        `${lamp.startV} V is under lowestV, ${lamp.lowestV} V`,
        'lowestV or more: a lamp that holds at less starts at more',
      );
    }
    if (lamp.highestV < lamp.startV) {
      list.add([...steps, 'highestV'], `${lamp.highestV} V is under startV, ${lamp.startV} V`, 'startV or more');
    }
    if (lamp.distribution.kind === 'table') checkTable(lamp.distribution, [...steps, 'distribution'], list);
  });
}

function checkTable(table: Table, steps: readonly PathStep[], list: ErrorList): void {
  checkAscending(table.gammaDeg, [...steps, 'gammaDeg'], list);
  checkAscending(table.cDeg, [...steps, 'cDeg'], list);
  if (table.candela.length !== table.cDeg.length) {
    list.add([...steps, 'candela'], `has ${table.candela.length} planes`, `${table.cDeg.length}, one for each angle of cDeg`);
  }
  table.candela.forEach((plane, c) => {
    if (plane.length === table.gammaDeg.length) return;
    list.add([...steps, 'candela', c], `has ${plane.length} values`, `${table.gammaDeg.length}, one for each angle of gammaDeg`);
  });
}

function checkAscending(angles: readonly number[], steps: readonly PathStep[], list: ErrorList): void {
  const i = angles.findIndex((angle, k) => k > 0 && angle <= angles[k - 1]!);
  if (i > 0) list.add([...steps, i], `${angles[i]} follows ${angles[i - 1]}`, 'angles that ascend');
}
