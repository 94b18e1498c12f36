import { z } from 'zod';
import { propertyRecord } from '../records/property.ts';
import { CURRENT_VERSION } from './versions.ts';

/** JSON Schema (2020-12) of the property file as it is written; fields with a default may be left out. */
export function propertyJsonSchema(): Record<string, unknown> {
  const schema = z.toJSONSchema(propertyRecord, { io: 'input' });
  return {
    ...schema,
    title: 'Gloaming property file',
    description: `Version ${CURRENT_VERSION}. Metres, +Y up, +Z toward the street.`,
  };
}
