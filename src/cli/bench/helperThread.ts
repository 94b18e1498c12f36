import { parentPort } from 'node:worker_threads';
import { createHelper, type HelperRequest } from '../../worker/index.ts';

/** The worker's helper in a thread of Node: same code, same messages. */
const helper = createHelper((reply, transfer) => parentPort?.postMessage(reply, transfer));
parentPort?.on('message', (message: HelperRequest) => helper.receive(message));
