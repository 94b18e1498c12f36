import { z } from 'zod';
import { buildingRecord } from './building.ts';
import { label, note, recordId } from './common.ts';
import { fixtureRecord } from './fixture.ts';
import { groundRecord, waterRecord } from './ground.ts';
import { catalogueRecord } from './lamp.ts';
import { powerSiteRecord, questionRecord, receiverRecord, reviewChoices, serviceRecord, viewpointRecord } from './people.ts';
import { plantingRecord } from './planting.ts';
import { siteRecord } from './site.ts';
import { runRecord, transformerRecord, zoneRecord } from './wiring.ts';

/** One lighting design over the property. */
export const schemeRecord = z.strictObject({
  id: recordId,
  name: label,
  notes: note.default(''),
  fixtures: z.array(fixtureRecord).default([]),
  zones: z.array(zoneRecord).max(50).default([]),
  transformers: z.array(transformerRecord).max(50).default([]),
  runs: z.array(runRecord).max(200).default([]),
  /** Demo properties: the warns and stops this scheme must show, exactly. `subject` as in a finding. */
  expectedFindings: z
    .array(
      z.strictObject({
        kind: z.string().max(40),
        subject: z.string().max(400),
      }),
    )
    .optional(),
});
export type SchemeRecord = z.infer<typeof schemeRecord>;

export const FORMAT = 'gloaming-property';

/** The whole document: one JSON file, `*.property.json`. */
export const propertyRecord = z.strictObject({
  format: z.literal(FORMAT),
  version: z.int().min(1),
  name: label,
  site: siteRecord,
  buildings: z.array(buildingRecord).max(200).default([]),
  planting: z.array(plantingRecord).max(2000).default([]),
  ground: groundRecord.default({ levels: [], patches: [] }),
  water: z.array(waterRecord).max(50).default([]),
  viewpoints: z.array(viewpointRecord).max(100).default([]),
  services: z.array(serviceRecord).max(200).default([]),
  powerSites: z.array(powerSiteRecord).max(50).default([]),
  catalogue: catalogueRecord.default({ lamps: [] }),
  questions: z.array(questionRecord).max(500).default([]),
  receivers: z.array(receiverRecord).max(5000).default([]),
  /** Fixtures that belong to the property and stay on in "before". */
  existing: z.array(fixtureRecord).max(500).default([]),
  review: reviewChoices.default({ putOff: [], limits: [], ageYears: 35 }),
  schemes: z.array(schemeRecord).max(50).default([]),
});
export type PropertyRecord = z.infer<typeof propertyRecord>;
export type PropertyDocument = PropertyRecord;
