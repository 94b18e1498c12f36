import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { brotliCompressSync } from 'node:zlib';
import type { Page } from 'playwright-core';
import type { PropertyDocument } from '../../scene/index.ts';
import { chromiumArgs, ensurePageBuilt, findChromium, serveFolder, top } from '../checkout.mjs';
import { median } from './median.ts';
import { benchProperty } from './property.ts';

interface FrameTimes {
  ours: number[];
}

/** What only a browser can tell: bytes and time to the first picture, and frames. Absent without Chromium. */
export async function benchPage(demo: PropertyDocument, runs: number): Promise<Record<string, number>> {
  const executablePath = findChromium();
  if (!executablePath) return {};
  ensurePageBuilt();
  const { chromium } = await import('playwright-core');
  const extra = Object.fromEntries(
    [1, 60, 120].map((n) => [`/bench-${n}.property.json`, JSON.stringify(benchProperty(demo, n))]),
  );
  const server = await serveFolder(join(top, 'dist/app'), 0, extra);
  const browser = await chromium.launch({ executablePath, args: chromiumArgs });
  const result: Record<string, number> = {};
  try {
    const cold: number[] = [];
    for (let i = 0; i < runs; i++) {
      const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
      const paths = new Set<string>();
      page.on('request', (r) => paths.add(new URL(r.url()).pathname));
      const started = performance.now();
      await page.goto(server.url);
      await page.waitForSelector('[data-picture][data-stage="drawn"], [data-picture][data-stage="refined"]', {
        state: 'attached',
        timeout: 120_000,
      });
      cold.push(performance.now() - started);
      if (i === 0) result.pageKb = brotliKb([...paths]);
      await page.close();
    }
    result.coldStartMs = median(cold);
    const frame = new Map<number, number>();
    for (const n of [1, 60, 120]) frame.set(n, await frameMs(await openBench(browser, server.url, n)));
    result.frame120Over1 = frame.get(120)! / frame.get(1)!;
    result.frame60Ms = frame.get(60)!;
  } finally {
    await browser.close();
    await server.close();
  }
  return result;
}

async function openBench(browser: { newPage(o: object): Promise<Page> }, url: string, lights: number): Promise<Page> {
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  await page.goto(`${url}?picture=only&bench=frames&file=bench-${lights}.property.json&scheme=bench&view=street`);
  await page.waitForSelector('html[data-settled]', { state: 'attached', timeout: 300_000 });
  return page;
}

async function frameMs(page: Page): Promise<number> {
  await page.waitForSelector('html[data-frames]', { state: 'attached', timeout: 300_000 });
  const times = JSON.parse((await page.getAttribute('html', 'data-frames')) ?? '{}') as FrameTimes;
  await page.close();
  return median(times.ours);
}

/** Everything asked for by the first picture, compressed as a server would, kB. */
function brotliKb(paths: string[]): number {
  const folder = join(top, 'dist/app');
  const known = new Set(readdirSync(folder, { recursive: true }).map((p) => `/${p}`));
  let bytes = 0;
  for (const path of paths) {
    const file = path === '/' ? '/index.html' : path;
    if (!known.has(file)) continue;
    const raw = readFileSync(join(folder, file));
    bytes += /\.(woff2|png)$/.test(file) ? raw.length : brotliCompressSync(raw).length;
  }
  return bytes / 1000;
}
