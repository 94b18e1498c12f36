import { findMaterial, materialIds } from '../../../materials/index.ts';
import type { PropertyDocument } from '../../records/property.ts';
import { type ErrorList, isRecord, type PathStep } from '../errors.ts';
import { shortList } from './references.ts';

/** Every material named is in the library. Fields that hold one are called `material` or end in `Material`. */
export function checkMaterials(document: PropertyDocument, list: ErrorList): void {
  walk(document.buildings, ['buildings'], list);
  walk(document.ground, ['ground'], list);
}

function walk(value: unknown, steps: readonly PathStep[], list: ErrorList): void {
  if (Array.isArray(value)) {
    value.forEach((entry, i) => {
      walk(entry, [...steps, i], list);
    });
  } else if (isRecord(value)) {
    for (const [key, entry] of Object.entries(value)) {
      if (typeof entry !== 'string') walk(entry, [...steps, key], list);
      else if (isMaterialField(key) && !findMaterial(entry)) {
        list.add([...steps, key], `there is no material "${entry}"`, `${nearestFirst(entry)}, or {"reflectance": 0 to 1}`);
      }
    }
  }
}

const isMaterialField = (key: string): boolean => key === 'material' || key.endsWith('Material');

/** Library ids that begin alike first. */
function nearestFirst(id: string): string {
  const head = id.slice(0, 3).toLowerCase();
  const alike = materialIds.filter((known) => known.toLowerCase().startsWith(head));
  return shortList(alike.length > 0 ? alike : materialIds);
}
