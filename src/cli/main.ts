import { InputError } from './arguments.ts';
import { check } from './check.ts';
import { eye } from './eye.ts';
import { kit } from './kit.ts';
import { light } from './light.ts';
import { photometry } from './photometry.ts';
import { power } from './power.ts';
import { render } from './render.ts';
import type { CommandResult } from './result.ts';
import { schema } from './schema.ts';

const USAGE = `gloaming check FILE [--scheme S] [--view V] [--fail-on note|warn|stop]   findings and totals
gloaming light FILE --at x,y,z --normal x,y,z [--scheme S]              lux there: total, direct, bounced, per fixture
gloaming light FILE --points FILE.csv                                   the same for many points (x,y,z,nx,ny,nz)
gloaming eye FILE --at x,y,z --look x,y,z [--age N]                     glare at this eye, per fixture
gloaming power FILE [--scheme S] [--draw 1.75]                          volts, amperes, watts, VA, start margins
gloaming kit FILE [--scheme S] [--csv]                                  parts list
gloaming photometry FILE.ies|.ldt                                        lumens, peak, beam, field, warnings of a file
gloaming render FILE --view V --out P.png [--scheme S] [--before] [--sun -6] [--moon full] [--cloud overcast] [--leaves bare] [--paving wet] [--ev 3] [--width W --height H]
                                                    without --sun and --ev: the property's own dusk and exposure
gloaming schema                                                         JSON Schema of the property file
--leaves bare (check, light, render): the property in winter; evergreens keep their leaves.
Options for all: --json (light, eye: --only id,id and --with-sky; light: --stats). Exit 0 fine, 1 findings at or above --fail-on, 2 bad input.`;

const commands: Record<string, (args: string[]) => CommandResult | Promise<CommandResult>> = {
  check,
  light,
  eye,
  power,
  kit,
  photometry,
  render,
  schema,
};

/** Runs one command line; returns the exit status. Bad input: one line on stderr, status 2. */
export async function main(args: string[]): Promise<number> {
  const [name, ...rest] = args;
  if (!name || name === 'help' || name === '--help') {
    process.stdout.write(`${USAGE}\n`);
    return name ? 0 : 2;
  }
  const command = commands[name];
  if (!command) {
    process.stderr.write(`gloaming: no command ${name}; known: ${Object.keys(commands).join(', ')}\n`);
    return 2;
  }
  try {
    const result = await command(rest);
    process.stdout.write(result.text.endsWith('\n') ? result.text : `${result.text}\n`);
    return result.status;
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    process.stderr.write(`gloaming ${name}: ${error.message.replaceAll('\n', ' ')}\n`);
    return 2;
  }
}
