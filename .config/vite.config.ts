import { resolve } from 'node:path';
import react from '@vitejs/plugin-react';
import { defineConfig, type Plugin } from 'vite';
import { ensureKernels } from '../src/cli/checkout.mjs';

const top = resolve(import.meta.dirname, '..');

/** The pure folders do nothing when loaded: what is not used of them, zod in the workers for one, stays out. */
const pure = /\/src\/(units|materials|scene|exposure|lights|power|review|kit|lessons|editor)\//;
const treeshake = { moduleSideEffects: (id: string, external: boolean) => external || !pure.test(id) };

/** `npm run dev` alone: its client writes style and script elements, which the policy of the built page refuses. */
const withoutPolicy: Plugin = {
  name: 'serve-without-content-security-policy',
  apply: 'serve',
  transformIndexHtml: (html) => html.replace(/<meta\s+http-equiv="Content-Security-Policy"[^>]*>/, ''),
};

ensureKernels();

export default defineConfig({
  root: resolve(top, 'src/ui'),
  publicDir: resolve(top, 'public'),
  base: './',
  plugins: [react(), withoutPolicy],
  worker: { format: 'es', rolldownOptions: { treeshake } },
  build: {
    outDir: resolve(top, 'dist/app'),
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 1200,
    rolldownOptions: { treeshake },
  },
  server: { fs: { allow: [top] } },
});
