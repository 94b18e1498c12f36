import { z } from 'zod';
import { FORMAT, type PropertyDocument, propertyRecord } from '../records/property.ts';
import { checkGeometry } from './checks/geometry.ts';
import { checkLamps } from './checks/lamps.ts';
import { checkMaterials } from './checks/materials.ts';
import { checkReferences } from './checks/references.ts';
import { checkWiring } from './checks/wiring.ts';
import { createErrorList, isRecord, type PropertyError, quoteValue } from './errors.ts';
import { errorsFromIssues } from './issues.ts';
import { findJsonFault } from './jsonFault.ts';
import { checkLimits } from './limits.ts';
import { CURRENT_VERSION, migrateFile, versionOf } from './versions.ts';

// Validate without generated code: the page's content security policy forbids eval.
z.config({ jitless: true });

/** Why a file was refused: not JSON, of a newer program, another format, wrong inside, or too large. */
export type RefusalKind = 'json' | 'newer' | 'format' | 'invalid' | 'limit';

export type ParseResult =
  | { ok: true; document: PropertyDocument; migratedFrom?: number }
  | { ok: false; kind: RefusalKind; errors: PropertyError[] };

/** Most errors listed; the count of all is in the last. */
const MOST_ERRORS = 100;

const refused = (kind: RefusalKind, errors: PropertyError[]): ParseResult => ({
  ok: false,
  kind,
  errors:
    errors.length <= MOST_ERRORS
      ? errors
      : [
          ...errors.slice(0, MOST_ERRORS),
          { path: '', reason: `${errors.length - MOST_ERRORS} more errors are not listed`, accepted: '' },
        ],
});

/**
 * Reads a property file: parse, migrate, validate, cross-check. Nothing is repaired in silence, and no input makes it throw.
 *
 * @returns the document at the current version (`migratedFrom` where it was older), or every error found with its path.
 * @see tests/scene/document/parse.test.ts
 */
export function parseProperty(text: string): ParseResult {
  const bare = text.startsWith('\uFEFF') ? text.slice(1) : text;
  let file: unknown;
  try {
    file = JSON.parse(bare);
  } catch {
    return refused('json', [jsonError(bare)]);
  }
  return validateProperty(file);
}

/** The same checks for a value already parsed from JSON. */
export function validateProperty(file: unknown): ParseResult {
  if (!isRecord(file) || file.format !== FORMAT) {
    const found = isRecord(file) ? file.format : file;
    return refused('format', [
      { path: 'format', reason: `${quoteValue(found)} is not a property file of this program`, accepted: `"${FORMAT}"` },
    ]);
  }
  const version = versionOf(file);
  if (version === undefined) {
    const reason = file.version === undefined ? 'is missing' : `${quoteValue(file.version)} is not a version`;
    return refused('invalid', [{ path: 'version', reason, accepted: `a whole number, 1 to ${CURRENT_VERSION}` }]);
  }
  if (version > CURRENT_VERSION) {
    const reason = `version ${version} was written by a newer program; this one reads up to version ${CURRENT_VERSION}`;
    return refused('newer', [{ path: 'version', reason, accepted: `1 to ${CURRENT_VERSION}` }]);
  }
  const lifted = migrateFile(file, version).file;
  const beyond = checkLimits(lifted);
  if (beyond.length > 0) return refused('limit', beyond);
  const parsed = propertyRecord.safeParse(lifted);
  if (!parsed.success) return refused('invalid', errorsFromIssues(lifted, parsed.error.issues));
  const errors = crossCheck(parsed.data);
  if (errors.length > 0) return refused('invalid', errors);
  return { ok: true, document: parsed.data, ...(version < CURRENT_VERSION ? { migratedFrom: version } : {}) };
}

/** What no single record can tell: ids, references, wiring, geometry, materials, lamps. Empty = nothing found. */
export function crossCheck(document: PropertyDocument): PropertyError[] {
  const list = createErrorList(document);
  for (const check of [checkReferences, checkWiring, checkGeometry, checkLamps, checkMaterials]) check(document, list);
  return list.errors;
}

function jsonError(text: string): PropertyError {
  const fault = findJsonFault(text);
  if (!fault) return { path: '', reason: 'is not JSON', accepted: 'a JSON property file' };
  const damaged = fault.cutOff ? 'is cut off or damaged' : 'is not JSON';
  const where = `line ${fault.line}, column ${fault.column} (character ${fault.offset + 1} of ${text.length})`;
  return { path: '', reason: `${damaged} at ${where}: ${fault.reason}`, accepted: 'a whole JSON property file' };
}
