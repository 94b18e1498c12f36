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
  stock: number[];
  stockShadowed: number[];
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
      await page.addInitScript(markFirstDrawn);
      await page.goto(server.url);
      cold.push(await firstDrawn(page));
      if (i === 0) result.pageKb = brotliKb([...paths]);
      await page.close();
    }
    result.coldStartMs = median(cold);
    const frames = new Map<number, FrameTimes>();
    for (const n of [1, 60, 120]) frames.set(n, await frameTimes(await openBench(browser, server.url, n)));
    const at60 = frames.get(60)!;
    result.frame120Over1 = median(frames.get(120)!.ours) / median(frames.get(1)!.ours);
    result.frame60OverUnlitStock = median(at60.ours.map((ms, i) => ms / at60.stock[i]!));
    result.stock12ShadowedOverOurs60 = median(at60.stockShadowed) / median(at60.ours);
    result.frame60Ms = median(at60.ours);
  } finally {
    await browser.close();
    await server.close();
  }
  return result;
}

/** In the page: when it first says that it drew. That word can stand for a few milliseconds, too short to be seen from outside. */
function markFirstDrawn(): void {
  const watch = new MutationObserver((changes) => {
    if (!changes.some(({ target }) => (target as HTMLElement).dataset.stage === 'drawn')) return;
    watch.disconnect();
    performance.mark('first drawn');
  });
  watch.observe(document, { attributes: true, subtree: true, attributeFilter: ['data-stage'] });
}

/** Milliseconds from the start of the navigation. */
async function firstDrawn(page: Page): Promise<number> {
  const mark = await page.waitForFunction(() => performance.getEntriesByName('first drawn')[0]?.startTime, undefined, {
    timeout: 120_000,
  });
  return (await mark.jsonValue())!;
}

async function openBench(browser: { newPage(o: object): Promise<Page> }, url: string, lights: number): Promise<Page> {
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  await page.goto(`${url}?picture=only&bench=frames&file=bench-${lights}.property.json&scheme=bench&view=street`);
  await page.waitForSelector('html[data-settled]', { state: 'attached', timeout: 120_000 });
  return page;
}

async function frameTimes(page: Page): Promise<FrameTimes> {
  await page.waitForSelector('html[data-frames]', { state: 'attached', timeout: 120_000 });
  const times = JSON.parse((await page.getAttribute('html', 'data-frames')) ?? '{}') as FrameTimes;
  await page.close();
  return times;
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
