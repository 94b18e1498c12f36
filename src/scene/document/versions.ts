import { isRecord } from './errors.ts';
import { splitBeamAngle } from './migrations/splitBeamAngle.ts';

/** One step upward. `migrate` never throws: what it cannot read it leaves for the validator to name. */
export interface Migration {
  /** Version it makes out of the one before. */
  to: number;
  name: string;
  migrate(file: Record<string, unknown>): Record<string, unknown>;
}

/** All migrations in order; entry i leads from version i + 1 to version i + 2. */
export const migrations: readonly Migration[] = [splitBeamAngle];

/** Version this program writes. */
export const CURRENT_VERSION = migrations.length + 1;

/** Lifts a file to the current version; `applied` names what was done. */
export function migrateFile(
  file: Record<string, unknown>,
  version: number,
): { file: Record<string, unknown>; applied: string[] } {
  const applied: string[] = [];
  let next = file;
  for (const migration of migrations) {
    if (migration.to <= version) continue;
    next = { ...migration.migrate(next), version: migration.to };
    applied.push(migration.name);
  }
  return { file: next, applied };
}

/** Version a file claims; undefined where that is not a whole number from 1. */
export function versionOf(file: Record<string, unknown>): number | undefined {
  const version = file.version;
  return isRecord(file) && typeof version === 'number' && Number.isInteger(version) && version >= 1 ? version : undefined;
}
