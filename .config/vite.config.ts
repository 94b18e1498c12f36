import { resolve } from 'node:path';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

const top = resolve(import.meta.dirname, '..');

export default defineConfig({
  root: resolve(top, 'src/ui'),
  publicDir: resolve(top, 'public'),
  base: './',
  plugins: [react()],
  worker: { format: 'es' },
  build: {
    outDir: resolve(top, 'dist/app'),
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 1200,
  },
  server: { fs: { allow: [top] } },
});
