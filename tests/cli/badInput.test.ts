import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { demoFile, runCli, textbook } from './runCli.ts';

const folder = 'tests/.output';
const text = readFileSync(textbook('wall-uplight'), 'utf8');
const changed = (name: string, change: (d: Record<string, never>) => void): string => {
  const copy = JSON.parse(text);
  change(copy);
  const path = `${folder}/${name}.property.json`;
  writeFileSync(path, JSON.stringify(copy));
  return path;
};

/** Bad input: status 2, one line on stderr that names the place. */
async function refused(path: string, ...words: RegExp[]) {
  const r = await runCli('check', path);
  expect(r.status).toBe(2);
  expect(r.out).toBe('');
  expect(r.err.trim().split('\n')).toHaveLength(1);
  for (const word of words) expect(r.err).toMatch(word);
}

describe('bad input gets one clear line and exit 2', () => {
  beforeAll(() => mkdirSync(folder, { recursive: true }));

  it('no such file', () => refused('no-such.property.json', /no such file/));
  it('a file cut in half', () => {
    writeFileSync(`${folder}/half.property.json`, text.slice(0, text.length / 2));
    return refused(`${folder}/half.property.json`, /half\.property\.json/, /JSON|ends/i);
  });
  it('a newer version', () =>
    refused(
      changed('newer', (d) => Object.assign(d, { version: 99 })),
      /99/,
      /newer/i,
    ));
  it('another format', () =>
    refused(
      changed('other', (d) => Object.assign(d, { format: 'x' })),
      /format/,
    ));
  it.each([0, 400, -5])('a beam of %s degrees', (beam) =>
    refused(
      changed(`beam${beam}`, (d) =>
        Object.assign((d as never as Demo).catalogue.lamps[0].distribution, { beamAngleFullDeg: beam }),
      ),
      /beamAngleFullDeg/,
      /175|accepted/,
    ),
  );
  it('NaN written as null', () =>
    refused(
      changed('nan', (d) => Object.assign((d as never as Demo).catalogue.lamps[0], { powerW: null })),
      /powerW/,
    ));
  it('a number with a wrong unit', () =>
    refused(
      changed('unit', (d) => Object.assign((d as never as Demo).catalogue.lamps[0], { powerW: '5 W' })),
      /powerW/,
    ));
  it('a wall of zero length', () =>
    refused(
      changed('zero', (d) => Object.assign((d as never as Demo).buildings[0].parts[0], { from: [0, 0], to: [0, 0] })),
      /zero|length/i,
    ));
  it('more lights than the limit', () =>
    refused(
      changed('many', (d) => {
        const s = (d as never as Demo).schemes[0];
        s.fixtures = Array.from({ length: 501 }, (_, i) => ({ ...s.fixtures[0], id: `f${i}` }));
      }),
      /500/,
    ));
  it('an unknown key', () =>
    refused(
      changed('key', (d) => Object.assign(d, { colour: 'red' })),
      /colour/,
    ));
  it('a script in a name is text and nothing else', async () => {
    const path = changed('script', (d) => Object.assign(d, { name: '<script>alert(1)</script>' }));
    const r = await runCli('check', path);
    expect(r.status).not.toBe(2);
  });
});

interface Demo {
  catalogue: { lamps: [{ distribution: object }] };
  buildings: [{ parts: [object] }];
  schemes: [{ fixtures: { id: string }[] }];
}

describe('bad options', () => {
  it.each([
    [['light', textbook('point-source'), '--at', '1,2'], /three numbers/],
    [['light', textbook('point-source'), '--at', '0,0,0', '--normal', '0,0,0'], /length above zero/],
    [['light', textbook('point-source')], /--at/],
    [['power', textbook('daisy-chain'), '--draw', 'many'], /--draw many/],
    [['power', textbook('daisy-chain'), '--scheme', 'x'], /this property has only/],
    [['kit', demoFile, '--bogus'], /bogus/],
    [['check'], /property file/],
    [['render', demoFile, '--view', 'nowhere', '--out', 'x.png'], /street/],
  ])('%j', async (args, words) => {
    const r = await runCli(...(args as string[]));
    expect(r.status).toBe(2);
    expect(r.err).toMatch(words as RegExp);
  });
  it('no such command', async () => expect((await runCli('paint')).status).toBe(2));
});
