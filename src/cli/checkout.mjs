// What every plain-node entry of the checkout needs: installed packages, fresh builds, a static server.
import { spawnSync } from 'node:child_process';
import { createReadStream, existsSync, lstatSync, mkdirSync, readdirSync, statSync } from 'node:fs';
import { createServer } from 'node:http';
import { dirname, extname, join, normalize, resolve } from 'node:path';
import { ensureKernels as buildKernels } from './kernels.mjs';

/** The checkout's top folder, found from here upward, so that a bundle in .cache finds it too. */
export const top = findTop(import.meta.dirname);

function findTop(folder) {
  if (existsSync(join(folder, 'package-lock.json'))) return folder;
  const above = dirname(folder);
  if (above === folder) throw new Error('not inside a checkout: no package-lock.json above');
  return findTop(above);
}

/** Runs a command, showing what it prints; returns its exit status. */
export function run(command, args, options = {}) {
  const result = spawnSync(command, args, { cwd: top, stdio: 'inherit', ...options });
  if (result.error) throw new Error(`${command} could not be started: ${result.error.message}`);
  return result.status ?? 1;
}

/** Installs the packages of package-lock.json when they are missing or older than the lock file. */
export function ensureInstalled() {
  const lock = join(top, 'package-lock.json');
  const stamp = join(top, 'node_modules/.package-lock.json');
  if (existsSync(stamp) && statSync(stamp).mtimeMs >= statSync(lock).mtimeMs - 1000) return;
  if (existsSync(stamp) && existsSync(join(top, 'node_modules/vite')) && sameLock(lock, stamp)) return;
  // Packages borrowed from another checkout by a link are that one's to renew: npm ci would empty them.
  if (lstatSync(join(top, 'node_modules'), { throwIfNoEntry: false })?.isSymbolicLink()) return;
  console.error('Installing packages (npm ci) …');
  const status = run('npm', ['ci', '--no-audit', '--no-fund'], { stdio: ['ignore', 2, 2] });
  if (status !== 0) throw new Error('npm ci failed; see its lines above');
}

function sameLock(lock, stamp) {
  // A fresh clone gives the lock file a new time; the installed set is the same when npm finds nothing to do.
  return (
    spawnSync('npm', ['ls', '--depth=0', '--silent'], { cwd: top, stdio: 'ignore' }).status === 0 &&
    existsSync(lock) &&
    existsSync(stamp)
  );
}

/** Compiles the light kernels when their sources changed: every build and every test run begins with this. */
export function ensureKernels() {
  buildKernels(top);
}

/** Newest modification time below some folders. */
export function newestMs(...folders) {
  let newest = 0;
  const visit = (path) => {
    const info = statSync(path, { throwIfNoEntry: false });
    if (!info) return;
    if (!info.isDirectory()) newest = Math.max(newest, info.mtimeMs);
    else for (const name of readdirSync(path)) if (name !== 'node_modules') visit(join(path, name));
  };
  for (const folder of folders) visit(join(top, folder));
  return newest;
}

/** Builds the page into dist/app when its sources are newer. */
export function ensurePageBuilt() {
  ensureKernels();
  const built = statSync(join(top, 'dist/app/index.html'), { throwIfNoEntry: false })?.mtimeMs ?? 0;
  if (built > newestMs('src', 'demo', 'public', 'package-lock.json', '.config')) return;
  console.error('Building the page …');
  const status = run(
    process.execPath,
    ['node_modules/vite/bin/vite.js', 'build', '--config', '.config/vite.config.ts', '--logLevel', 'warn'],
    {
      stdio: ['ignore', 2, 2],
      // A test runner's own setting would build the development page, which then stands there for everybody.
      env: { ...process.env, NODE_ENV: 'production' },
    },
  );
  if (status !== 0) throw new Error('the page could not be built; see the lines above');
}

/** Bundles a TypeScript entry for Node into .cache when its sources are newer; returns the bundle's path. */
export async function ensureBundled(entry, name) {
  ensureKernels();
  const out = join(top, `.cache/${name}.mjs`);
  const built = statSync(out, { throwIfNoEntry: false })?.mtimeMs ?? 0;
  if (built > newestMs('src', 'package-lock.json')) return out;
  mkdirSync(join(top, '.cache'), { recursive: true });
  const { build } = await import('esbuild');
  await build({
    entryPoints: [join(top, entry)],
    outfile: out,
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    packages: 'external',
    logLevel: 'error',
    sourcemap: 'inline',
  });
  return out;
}

const types = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.woff2': 'font/woff2',
  '.png': 'image/png',
  '.svg': 'image/svg+xml',
  '.wasm': 'application/wasm',
  '.webmanifest': 'application/manifest+json',
};

/** Serves a folder on 127.0.0.1; `extra` maps a path to text served from memory. Resolves to { url, close }. */
export function serveFolder(folder, port = 0, extra = {}) {
  const root = resolve(folder);
  const server = createServer((request, response) => {
    const path = decodeURIComponent(new URL(request.url ?? '/', 'http://localhost').pathname);
    if (path in extra) {
      response.writeHead(200, { 'content-type': types['.json'] }).end(extra[path]);
      return;
    }
    const file = normalize(join(root, path === '/' ? 'index.html' : path));
    if (!file.startsWith(root) || !statSync(file, { throwIfNoEntry: false })?.isFile()) {
      response.writeHead(404, { 'content-type': 'text/plain' }).end('Not found');
      return;
    }
    response.writeHead(200, {
      'content-type': types[extname(file)] ?? 'application/octet-stream',
      'cache-control': 'no-cache',
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
    });
    createReadStream(file).pipe(response);
  });
  return new Promise((done, fail) => {
    server.once('error', fail);
    server.listen(port, '127.0.0.1', () => {
      const address = server.address();
      done({ url: `http://127.0.0.1:${address.port}/`, close: () => new Promise((r) => server.close(r)) });
    });
  });
}

/** Path of a Chromium-family browser, or undefined. */
export function findChromium() {
  const named = process.env.GLOAMING_CHROMIUM;
  const places = [
    '/usr/bin/chromium',
    '/usr/bin/chromium-browser',
    '/usr/bin/google-chrome',
    '/Applications/Chromium.app/Contents/MacOS/Chromium',
  ];
  return [named, ...places].find((p) => p && existsSync(p));
}

/** Flags for headless Chromium with a software rasteriser. */
export const chromiumArgs = [
  '--no-sandbox',
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
  '--ignore-gpu-blocklist',
  '--disable-dev-shm-usage',
  '--font-render-hinting=none',
];
