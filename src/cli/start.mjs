// npm start: install what is missing, build, serve, print the address of the demo.
import { join } from 'node:path';
import { ensureInstalled, ensurePageBuilt, serveFolder, top } from './checkout.mjs';

try {
  ensureInstalled();
  ensurePageBuilt();
  const asked = Number(process.env.PORT ?? 4173);
  const server = await serveFolder(join(top, 'dist/app'), asked).catch((error) => {
    if (error.code !== 'EADDRINUSE') throw error;
    return serveFolder(join(top, 'dist/app'), 0);
  });
  console.log(`Gloaming shows the demo property at ${server.url}   (Ctrl+C ends it)`);
} catch (error) {
  console.error(`npm start: ${error.message}`);
  process.exit(1);
}
