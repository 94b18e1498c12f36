import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';

const textbook = resolve(import.meta.dirname, '../textbook/wall-uplight.property.json');

interface LampChange {
  [key: string]: unknown;
}

/**
 * The wall uplight of the textbook file on one cable of a tap of 12 V: a halogen lamp of 20 W (7.2 Ω) behind `loopOhm` of
 * copper stands at 12 · 7.2 / (7.2 + loopOhm) volts.
 */
export function wiredUplight(loopOhm: number, lamp: LampChange = {}): string {
  const property = JSON.parse(readFileSync(textbook, 'utf8'));
  Object.assign(property.catalogue.lamps[0], { electrical: 'resistive', powerW: 20, startV: 3, lowestV: 3 }, lamp);
  Object.assign(property.schemes[0], {
    transformers: [{ id: 't', name: 'T', at: [0, 0, 3], capacityVa: 300 }],
    runs: [
      {
        id: 'r',
        name: 'R',
        transformerId: 't',
        tapV: 12,
        gauge: { kind: 'ohmPerM', ohmPerM: 0.005 },
        slackShare: 0,
        legs: [{ id: 'g', lengthM: loopOhm / 0.01, fixtureId: 'u' }],
      },
    ],
  });
  return JSON.stringify(property);
}

/** Loop resistance that leaves a 20 W halogen lamp 10.51 V of 12. */
export const TO_10_51_OHM = 7.2 * (12 / 10.51 - 1);
