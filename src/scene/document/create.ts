import { FORMAT, type PropertyDocument, propertyRecord } from '../records/property.ts';
import { CURRENT_VERSION } from './versions.ts';

/** A property with nothing built: dusk, one empty scheme, every field at its default. */
export function createEmptyProperty(name: string): PropertyDocument {
  return propertyRecord.parse({
    format: FORMAT,
    version: CURRENT_VERSION,
    name,
    site: {},
    schemes: [{ id: 'scheme-1', name: 'Scheme 1' }],
  });
}
