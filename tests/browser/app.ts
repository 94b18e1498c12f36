import { buffer } from 'node:stream/consumers';
import { type Browser, type BrowserContext, chromium, type Download, type Locator, type Page } from 'playwright-core';
import { afterAll, inject } from 'vitest';
import type { PropertyJson, Vec3 } from './properties.ts';

/** Sizes of the acceptance tasks, CSS pixels. */
export const SIZES = {
  desktop: { width: 1440, height: 900 },
  tablet: { width: 1024, height: 768 },
  phone: { width: 390, height: 844 },
} as const;

const SETTLE_MS = 110_000;

/** What a session must never show: errors in the console, refused content, requests to a foreign origin. */
export interface Watch {
  errors: string[];
  foreign: string[];
}

export interface OpenOptions {
  size?: { width: number; height: number };
  touch?: boolean;
  /** Stands in for the demo of a first visit; absent: the demo itself. */
  property?: PropertyJson;
  /** Leave the tour on the screen. */
  keepTour?: boolean;
  /** Wait for the first settled light; on by default. */
  settle?: boolean;
  /** Runs before the page does. */
  init?: () => void;
  /** Errors of the console that the test itself brings about. */
  expected?: RegExp;
  browser?: Browser;
}

let shared: Promise<Browser> | undefined;
const contexts = new Set<BrowserContext>();

/** The suite's one Chromium. */
export function theBrowser(): Promise<Browser> {
  shared ??= chromium.connect(inject('browserWs'));
  return shared;
}

afterAll(async () => {
  for (const context of contexts) await context.close().catch(() => undefined);
  contexts.clear();
  await (await shared)?.close();
  shared = undefined;
});

export interface Opened {
  page: Page;
  context: BrowserContext;
  watch: Watch;
  close(): Promise<void>;
}

/** A first visit: fresh storage, the tour skipped, the first light settled. */
export async function open(options: OpenOptions = {}): Promise<Opened> {
  const browser = options.browser ?? (await theBrowser());
  const context = await browser.newContext({
    viewport: options.size ?? SIZES.desktop,
    hasTouch: options.touch ?? false,
    isMobile: (options.touch ?? false) && (options.size?.width ?? 1440) < 700,
    acceptDownloads: true,
  });
  contexts.add(context);
  if (options.property) {
    const json = options.property;
    await context.route('**/brick-two-storey*.json', (route) => route.fulfill({ json }));
  }
  if (options.init) await context.addInitScript(options.init);
  const page = await context.newPage();
  const watch = watchPage(page, options.expected);
  await visit(page, options);
  return {
    page,
    context,
    watch,
    async close() {
      contexts.delete(context);
      await context.close();
    },
  };
}

/** Loads the page in a tab of its own storage. */
export async function visit(page: Page, options: Pick<OpenOptions, 'keepTour' | 'settle'> = {}): Promise<void> {
  await page.goto(inject('pageUrl'));
  await page.locator('html[data-revision]').waitFor({ state: 'attached', timeout: 60_000 });
  const skip = page.getByRole('button', { name: 'Skip' });
  if (!options.keepTour && (await skip.isVisible())) await skip.click();
  if (options.settle ?? true) await settled(page);
}

/** Collects errors and foreign requests from the first byte on. */
export function watchPage(page: Page, expected?: RegExp): Watch {
  const watch: Watch = { errors: [], foreign: [] };
  const add = (text: string) => {
    if (!expected?.test(text)) watch.errors.push(text);
  };
  page.on('console', (message) => {
    if (message.type() === 'error') add(message.text());
  });
  page.on('pageerror', (error) => add(error.stack ?? error.message));
  page.on('request', (request) => {
    const url = request.url();
    if (!url.startsWith(inject('pageUrl')) && !/^(blob|data|about):/.test(url)) watch.foreign.push(url);
  });
  return watch;
}

/** Light, judgement and drawing of the newest request are there. */
export async function settled(page: Page): Promise<void> {
  await page.waitForFunction(
    () => {
      const { revision, settled: done } = document.documentElement.dataset;
      return revision !== undefined && revision !== '0' && done === revision;
    },
    undefined,
    { timeout: SETTLE_MS, polling: 50 },
  );
}

async function revisionOf(page: Page): Promise<number> {
  return Number(await page.locator('html').getAttribute('data-revision'));
}

/** Does something that asks for new light, and waits until that light is settled. */
export async function changing(page: Page, act: () => Promise<unknown>): Promise<void> {
  const before = await revisionOf(page);
  await act();
  await page.waitForFunction((r) => Number(document.documentElement.dataset.revision) > r, before, {
    timeout: 20_000,
    polling: 50,
  });
  await settled(page);
}

/** Opens a file through the browser's own file dialog. */
export async function openFile(page: Page, name: string, text: string): Promise<void> {
  // The browser opens its dialog only while the key press counts as the person's own; a slow machine may miss one.
  const ask = () => Promise.all([page.waitForEvent('filechooser', { timeout: 10_000 }), page.keyboard.press('Control+o')]);
  const [chooser] = await ask().catch(ask);
  await chooser.setFiles({ name, mimeType: 'application/json', buffer: Buffer.from(text) });
}

export const picture = (page: Page): Locator => page.getByRole('application', { name: /^Night picture/ });

/** Figures of the strip as a person reads them. */
export async function strip(
  page: Page,
): Promise<{ watts: number; stop: number; warn: number; note: number; ev: string; picture: string; scheme: string }> {
  const text = (id: string) => words(page.locator(`[data-cell="${id}"].cell .figures`));
  const spoken = (await page.locator('[data-cell="findings"].cell').getAttribute('aria-label')) ?? '';
  const count = (word: string) => Number(new RegExp(`(\\d+) ${word}`).exec(spoken)?.[1] ?? Number.NaN);
  return {
    watts: Number.parseFloat(await text('load')),
    stop: count('Stop'),
    warn: count('Warn'),
    note: count('Note'),
    ev: await text('exposure'),
    picture: await text('picture'),
    scheme: await text('scheme'),
  };
}

/** Own and whole illuminance where the selected light aims, from its list. */
export async function aimReading(page: Page): Promise<{ own: number; total: number }> {
  const strong = page.locator('.aim-reading strong');
  await strong.first().waitFor();
  const [own = '', total = ''] = await strong.allInnerTexts();
  return { own: Number.parseFloat(own), total: Number.parseFloat(total) };
}

/** Lines of the reading slip: name → figure. */
export async function slipLines(scope: Locator): Promise<{ total: number; lines: Record<string, number> }> {
  const total = Number.parseFloat(await words(scope.locator('.slip-total')));
  const rows = await scope
    .locator('dl > div')
    .evaluateAll((divs) =>
      divs.map((div) => [div.querySelector('dt')?.textContent ?? '', div.querySelector('dd')?.textContent ?? ''] as const),
    );
  return { total, lines: Object.fromEntries(rows.map(([name, value]) => [name, Number.parseFloat(value)])) };
}

/** Number field of the margin by its label. */
export const field = (page: Page, label: string | RegExp): Locator => page.getByRole('spinbutton', { name: label });

/** Types a value into a number field and takes it. */
export async function type(target: Locator, text: string): Promise<void> {
  await target.fill(text);
  await target.press('Enter');
}

interface Pose {
  eye: Vec3;
  lookAt: Vec3;
  fieldDeg: number;
}

/**
 * Where a point of the world lies on the page at a viewpoint: level camera with lens shift (the picture's centre is the
 * point looked at), horizontal field of view, square pixels. Worked out here from those words, not from the program.
 */
export async function onPage(page: Page, pose: Pose, point: Vec3): Promise<{ x: number; y: number }> {
  const box = await picture(page).boundingBox();
  if (!box) throw new Error('the picture has no box');
  const look = [pose.lookAt[0] - pose.eye[0], pose.lookAt[2] - pose.eye[2]] as const;
  const level = Math.hypot(...look);
  const [fx, fz] = [look[0] / level, look[1] / level];
  const [dx, dy, dz] = [point[0] - pose.eye[0], point[1] - pose.eye[1], point[2] - pose.eye[2]];
  const ahead = dx * fx + dz * fz;
  const right = (dz * fx - dx * fz) / ahead;
  const up = dy / ahead - (pose.lookAt[1] - pose.eye[1]) / level;
  const focalPx = box.width / 2 / Math.tan((pose.fieldDeg * Math.PI) / 360);
  return { x: box.x + box.width / 2 + right * focalPx, y: box.y + box.height / 2 - up * focalPx };
}

/** One press, a drag in a few steps, and a release, by mouse. */
export async function mouseDrag(page: Page, from: { x: number; y: number }, to: { x: number; y: number }): Promise<void> {
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move((from.x + to.x) / 2, (from.y + to.y) / 2, { steps: 2 });
  await page.mouse.move(to.x, to.y, { steps: 2 });
  await page.mouse.up();
}

/** The same by one finger, through the browser's input. */
export async function touchDrag(page: Page, from: { x: number; y: number }, to: { x: number; y: number }): Promise<void> {
  const client = await page.context().newCDPSession(page);
  const send = (kind: 'touchStart' | 'touchMove' | 'touchEnd', at?: { x: number; y: number }) =>
    client.send('Input.dispatchTouchEvent', { type: kind, touchPoints: at ? [at] : [] });
  await send('touchStart', from);
  for (const k of [0.25, 0.5, 0.75, 1]) {
    await send('touchMove', { x: from.x + (to.x - from.x) * k, y: from.y + (to.y - from.y) * k });
  }
  await send('touchEnd');
  await client.detach();
}

/** Presses keys one by one; returns how many. */
export async function pressKeys(page: Page, keys: readonly string[]): Promise<number> {
  for (const key of keys) await page.keyboard.press(key);
  return keys.length;
}

/** Text as it stands on the screen. */
export function words(target: Locator): Promise<string> {
  // biome-ignore lint/performance/useDomNodeTextContent: what a person reads is asked for, not what the tree holds
  return target.innerText();
}

/** Does something that hands a file to the browser; its bytes and the name it was given. */
export async function downloadOf(page: Page, act: () => Promise<unknown>): Promise<{ name: string; bytes: Buffer }> {
  const [download]: [Download, unknown] = await Promise.all([page.waitForEvent('download', { timeout: 90_000 }), act()]);
  return { name: download.suggestedFilename(), bytes: await buffer(await download.createReadStream()) };
}
