import { parseArgs } from 'node:util';

/** A mistake in what was typed or read: exit 2, one line on stderr. */
export class InputError extends Error {}

export interface CommandLine {
  positionals: string[];
  text(name: string): string | undefined;
  flag(name: string): boolean;
  number(name: string, limits: { min: number; max: number }): number | undefined;
  vec3(name: string): [number, number, number] | undefined;
}

type OptionKinds = Record<string, 'string' | 'boolean'>;

/**
 * Reads options of one command. Values may begin with a minus sign (`--at -1,2,3`).
 * @throws {InputError} unknown option, missing value.
 */
export function readCommandLine(args: readonly string[], kinds: OptionKinds): CommandLine {
  const joined: string[] = [];
  for (let i = 0; i < args.length; i++) {
    const arg = args[i]!;
    const name = arg.startsWith('--') ? arg.slice(2) : '';
    if (name && kinds[name] === 'string' && i + 1 < args.length) joined.push(`${arg}=${args[++i]}`);
    else joined.push(arg);
  }
  const options = Object.fromEntries(Object.entries(kinds).map(([name, type]) => [name, { type }]));
  let parsed: { values: Record<string, unknown>; positionals: string[] };
  try {
    parsed = parseArgs({ args: joined, options, allowPositionals: true, strict: true });
  } catch (error) {
    throw new InputError((error as Error).message.split('. To specify')[0]);
  }
  const text = (name: string) => parsed.values[name] as string | undefined;
  return {
    positionals: parsed.positionals,
    text,
    flag: (name) => parsed.values[name] === true,
    number(name, { min, max }) {
      const typed = text(name);
      if (typed === undefined) return undefined;
      const value = Number(typed);
      if (typed.trim() === '' || !Number.isFinite(value) || value < min || value > max)
        throw new InputError(`--${name} ${typed}: expected a number from ${min} to ${max}`);
      return value;
    },
    vec3(name) {
      const typed = text(name);
      return typed === undefined ? undefined : parseVec3(`--${name}`, typed);
    },
  };
}

/** Reads `x,y,z` in metres. @throws {InputError} anything else. */
export function parseVec3(where: string, typed: string): [number, number, number] {
  const parts = typed.split(',').map((p) => (p.trim() === '' ? Number.NaN : Number(p)));
  if (parts.length !== 3 || parts.some((p) => !Number.isFinite(p)))
    throw new InputError(`${where} ${typed}: expected three numbers like 2.0,5.8,0.0 (metres)`);
  return parts as [number, number, number];
}

/** A normal or gaze. @throws {InputError} zero length. */
export function parseDirection(where: string, value: [number, number, number]): [number, number, number] {
  if (Math.hypot(...value) === 0) throw new InputError(`${where} 0,0,0: expected a direction of length above zero`);
  return value;
}
