import { resolve } from 'node:path';
import { main } from '../../src/cli/main.ts';

export const demoFile = resolve(import.meta.dirname, '../../demo/brick-two-storey/brick-two-storey.property.json');
export const textbook = (name: string) => resolve(import.meta.dirname, `../textbook/${name}.property.json`);

/** Runs one command line in this process and keeps what it prints. */
export async function runCli(...args: string[]): Promise<{ status: number; out: string; err: string }> {
  const kept = { out: '', err: '' };
  const write = { out: process.stdout.write, err: process.stderr.write };
  process.stdout.write = ((text: string) => {
    kept.out += text;
    return true;
  }) as typeof process.stdout.write;
  process.stderr.write = ((text: string) => {
    kept.err += text;
    return true;
  }) as typeof process.stderr.write;
  try {
    return { status: await main(args), ...kept };
  } finally {
    process.stdout.write = write.out;
    process.stderr.write = write.err;
  }
}

/** The same with `--json`, parsed; throws what stood on stderr when the status is 2. */
export async function jsonOf(...args: string[]) {
  const result = await runCli(...args, '--json');
  if (result.status === 2) throw new Error(result.err);
  return JSON.parse(result.out);
}
