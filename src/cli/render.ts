import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { openingSunDeg } from '../exposure/index.ts';
import { InputError, readCommandLine } from './arguments.ts';
import { chromiumArgs, ensurePageBuilt, findChromium, serveFolder, top } from './checkout.mjs';
import { pickScheme, readProperty, withAskedLeaves } from './property.ts';
import type { CommandResult } from './result.ts';

/** `gloaming render`: the picture of the page itself, drawn in headless Chromium at a stated exposure. */
export async function render(args: string[]): Promise<CommandResult> {
  const line = readCommandLine(args, {
    view: 'string',
    out: 'string',
    scheme: 'string',
    before: 'boolean',
    sun: 'string',
    moon: 'string',
    cloud: 'string',
    leaves: 'string',
    paving: 'string',
    ev: 'string',
    width: 'string',
    height: 'string',
    json: 'boolean',
  });
  const document = withAskedLeaves(readProperty(line.positionals[0]), line);
  const scheme = pickScheme(document, line.text('scheme'));
  const view = document.viewpoints.find((v) => v.id === line.text('view') || v.name === line.text('view'));
  if (!view)
    throw new InputError(
      `--view ${line.text('view') ?? '(none)'}: this property has ${document.viewpoints.map((v) => v.id).join(', ') || 'no viewpoints'}`,
    );
  const out = line.text('out');
  if (!out) throw new InputError('expected --out P.png');
  const width = Math.round(line.number('width', { min: 16, max: 4096 }) ?? 1440);
  const height = Math.round(line.number('height', { min: 16, max: 4096 }) ?? 900);
  const sun = line.number('sun', { min: -18, max: 2 }) ?? openingSunDeg(document.site);
  const ev = line.number('ev', { min: -4, max: 12 }) ?? document.site.ev100;
  const query = new URLSearchParams({
    picture: 'only',
    file: 'asked.property.json',
    scheme: scheme.id,
    view: view.id,
    sun: String(sun),
    ev: String(ev),
    ...chosenOf(line),
    ...(line.flag('before') ? { before: '1' } : {}),
  });
  const png = await drawPage(query, JSON.stringify(document), width, height);
  try {
    writeFileSync(out, png);
  } catch (error) {
    throw new InputError(`--out ${out}: ${(error as Error).message}`);
  }
  const facts = {
    out,
    width,
    height,
    view: view.id,
    scheme: scheme.id,
    before: line.flag('before'),
    sunAltitudeDeg: sun,
    leaves: line.text('leaves') ?? 'on',
    ...chosenOf(line),
    ev100: ev,
  };
  return {
    text: line.flag('json')
      ? JSON.stringify(facts, null, 1)
      : `${out}: ${width} × ${height}, ${view.name}, EV ${ev.toFixed(1)}, sun ${sun}°`,
    status: 0,
  };
}

const CHOICES: Record<string, readonly string[]> = {
  moon: ['none', 'quarter', 'full'],
  cloud: ['clear', 'overcast'],
  paving: ['dry', 'wet'],
};

/** Conditions given by a word, checked. @throws {InputError} for another word. */
function chosenOf(line: { text(name: string): string | undefined }): Record<string, string> {
  const chosen: Record<string, string> = {};
  for (const [name, words] of Object.entries(CHOICES)) {
    const word = line.text(name);
    if (word === undefined) continue;
    if (!words.includes(word)) throw new InputError(`--${name} ${word}: ${words.join(', ')} are accepted`);
    chosen[name] = word;
  }
  return chosen;
}

async function drawPage(query: URLSearchParams, property: string, width: number, height: number): Promise<Buffer> {
  const executablePath = findChromium();
  if (!executablePath) throw new InputError('no Chromium found; on Debian: apt-get install chromium, or set GLOAMING_CHROMIUM');
  ensurePageBuilt();
  const { chromium } = await import('playwright-core');
  const server = await serveFolder(join(top, 'dist/app'), 0, { '/asked.property.json': property });
  const browser = await chromium.launch({ executablePath, args: chromiumArgs });
  try {
    const page = await browser.newPage({ viewport: { width, height } });
    await page.goto(`${server.url}?${query}`);
    await page.waitForSelector('html[data-settled]', { timeout: 120_000, state: 'attached' });
    return await page.screenshot({ type: 'png' });
  } finally {
    await browser.close();
    await server.close();
  }
}
