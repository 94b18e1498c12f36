import { mkdirSync, readdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { keptFiles } from '../lights/photometryFiles.ts';
import { jsonOf, runCli } from './runCli.ts';

const folder = resolve(import.meta.dirname, '../fixtures/photometry');
const output = 'tests/.output';
const kept = (name: string) => `${folder}/${name}`;

describe('gloaming photometry', () => {
  beforeAll(() => mkdirSync(output, { recursive: true }));

  it('the kept files are what the writers of the tests write: closed forms, no maker’s data', () => {
    const names = readdirSync(folder).filter((name) => /\.(ies|ldt)$/.test(name));
    expect(names.sort()).toEqual(Object.keys(keptFiles).sort());
    for (const name of names) expect(readFileSync(kept(name), 'latin1')).toBe(keptFiles[name]!());
  });

  it('keys, exactly', async () => {
    const json = await jsonOf('photometry', kept('cos-power-36deg.ies'));
    expect(Object.keys(json)).toEqual([
      'fluxLm',
      'declaredFluxLm',
      'peakCd',
      'beamAngleFullDeg',
      'fieldAngleFullDeg',
      'warnings',
    ]);
    expect(json.fluxLm).toBeCloseTo(425.104, 2);
    expect(json.declaredFluxLm).toBe(424.176);
    expect(json.peakCd).toBe(1000);
    expect(json.beamAngleFullDeg).toBeCloseTo(36, 0);
    expect(json.fieldAngleFullDeg).toBeCloseTo(64.34, 0);
    expect(json.warnings).toEqual([]);
  });

  it('absolute photometry declares null; the tilt file warns (check case 1)', async () => {
    expect((await jsonOf('photometry', kept('isotropic-100cd.ies'))).declaredFluxLm).toBeNull();
    const tilt = await jsonOf('photometry', kept('tilt-include.ies'));
    expect(tilt.fluxLm).toBeCloseTo(3226.85, 2);
    expect(tilt.warnings.join()).toMatch(/1,000 lm.*3,227 lm/);
  });

  it('as text', async () => {
    const r = await runCli('photometry', kept('cosine-two-sets.ldt'));
    expect(r.status).toBe(0);
    expect(r.out).toMatch(/EULUMDAT[\s\S]*flux of the candela[\s\S]*2 lamp sets/);
  });

  it.each([
    ['no file named', [], /expected a file/],
    ['not there', ['nothing.ies'], /nothing\.ies: no such file/],
    ['a folder', [folder], /a folder, not a file/],
    ['an unknown option', [kept('isotropic-100cd.ies'), '--scheme', 'x'], /--scheme/],
  ])('%s: exit 2 and one line', async (_, args, words) => {
    const r = await runCli('photometry', ...args);
    expect(r.status).toBe(2);
    expect(r.out).toBe('');
    expect(r.err.trim().split('\n')).toHaveLength(1);
    expect(r.err).toMatch(words);
  });

  it('a cut file: exit 2, one line with line and token', async () => {
    writeFileSync(`${output}/cut.ies`, keptFiles['isotropic-100cd.ies']!().slice(0, -30).replace('100 100', '100 x7'));
    const r = await runCli('photometry', `${output}/cut.ies`);
    expect(r.status).toBe(2);
    expect(r.err).toMatch(
      /^gloaming photometry: .*cut\.ies: line 12, "x7": candela at horizontal 0, vertical 10: expected a number\n$/,
    );
  });

  it('50 MB: refused by the size alone', async () => {
    writeFileSync(`${output}/large.ies`, '');
    truncateSync(`${output}/large.ies`, 50 * 1024 * 1024);
    const r = await runCli('photometry', `${output}/large.ies`);
    truncateSync(`${output}/large.ies`, 0);
    expect(r.status).toBe(2);
    expect(r.err).toMatch(/50\.0 MB; photometric files up to 8 MB are read/);
  });
});
