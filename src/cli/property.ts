import { readFileSync } from 'node:fs';
import type { PropertyDocument, SchemeRecord } from '../scene/index.ts';
import { parseProperty } from '../scene/index.ts';
import { type CommandLine, InputError } from './arguments.ts';

const LARGEST_FILE_BYTES = 64 * 1024 * 1024;

/** Reads and validates a property file. @throws {InputError} one line: what is wrong, where, what is accepted. */
export function readProperty(path: string | undefined): PropertyDocument {
  if (!path) throw new InputError('expected a property file, for example demo/brick-two-storey/brick-two-storey.property.json');
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error) {
    throw new InputError(
      `${path}: ${(error as NodeJS.ErrnoException).code === 'ENOENT' ? 'no such file' : (error as Error).message}`,
    );
  }
  if (text.length > LARGEST_FILE_BYTES) throw new InputError(`${path}: larger than 64 MiB`);
  const result = parseProperty(text);
  if (result.ok) return result.document;
  const first = result.errors[0]!;
  const more = result.errors.length > 1 ? ` (and ${result.errors.length - 1} more)` : '';
  const where = first.path ? `${first.path}: ` : '';
  throw new InputError(`${path}: ${where}${first.reason}${first.accepted ? `; accepted: ${first.accepted}` : ''}${more}`);
}

/** The scheme asked for, else the first one with lights, else the first. @throws {InputError} no such scheme. */
export function pickScheme(document: PropertyDocument, asked: string | undefined): SchemeRecord {
  const ids = document.schemes.map((s) => s.id).join(', ') || 'none';
  const scheme = asked
    ? document.schemes.find((s) => s.id === asked)
    : (document.schemes.find((s) => s.fixtures.length > 0) ?? document.schemes[0]);
  if (!scheme) throw new InputError(asked ? `--scheme ${asked}: this property has ${ids}` : 'this property has no scheme');
  return scheme;
}

/**
 * The property with `--leaves bare`: grown in winter, so that evergreens keep their leaves and broad crowns keep twigs. Grown
 * anew and not re-weighted: the solver's layers hold the depth of all leaves of a path in one number.
 * @throws {InputError} another word than on or bare.
 */
export function withAskedLeaves(document: PropertyDocument, line: CommandLine): PropertyDocument {
  const word = line.text('leaves') ?? 'on';
  if (word !== 'on' && word !== 'bare') throw new InputError(`--leaves ${word}: on, bare are accepted`);
  return word === 'on' ? document : { ...document, site: { ...document.site, season: 'winter' } };
}
