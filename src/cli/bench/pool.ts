import { pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';
import { createHelperPool, type HelperPool, type HelperPort } from '../../worker/index.ts';
import { ensureBundled } from '../checkout.mjs';

/** Helpers in threads of Node, by the same port as in the page. */
export async function threadPool(count: number): Promise<HelperPool> {
  const bundle = pathToFileURL(await ensureBundled('src/cli/bench/helperThread.ts', 'benchHelper'));
  return createHelperPool(() => {
    const thread = new Worker(bundle);
    const port: HelperPort = {
      postMessage: (message) => thread.postMessage(message),
      terminate: () => void thread.terminate(),
      onmessage: null,
      onerror: null,
    };
    thread.on('message', (data) => port.onmessage?.({ data }));
    thread.on('error', (error) => port.onerror?.({ message: error.message }));
    thread.on('exit', () => port.onerror?.({ message: 'the thread ended' }));
    return port;
  }, count);
}
