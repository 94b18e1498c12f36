import { propertyJsonSchema } from '../scene/index.ts';
import { readCommandLine } from './arguments.ts';
import type { CommandResult } from './result.ts';

/** `gloaming schema`: JSON Schema of the property file. */
export function schema(args: string[]): CommandResult {
  readCommandLine(args, { json: 'boolean' });
  return { text: JSON.stringify(propertyJsonSchema(), null, 1), status: 0 };
}
