export const top: string;
export const chromiumArgs: string[];
export function ensureInstalled(): void;
export function ensureKernels(): void;
export function ensurePageBuilt(): void;
export function ensureBundled(entry: string, name: string): Promise<string>;
export function findChromium(): string | undefined;
export function newestMs(...folders: string[]): number;
export function run(command: string, args: string[], options?: object): number;
export function serveFolder(
  folder: string,
  port?: number,
  extra?: Record<string, string>,
): Promise<{ url: string; close(): Promise<void> }>;
