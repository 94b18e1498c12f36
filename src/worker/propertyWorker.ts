import type { WorkerRequest } from './messages.ts';
import { createPropertySession } from './session.ts';

/** The property worker: builds, solves and judges off the main thread. */
const turn = new MessageChannel();
let goOn: (() => void) | undefined;
turn.port1.onmessage = () => goOn?.();

/** Resolves after messages that were already waiting have been handled. */
const nextTurn = () =>
  new Promise<void>((resolve) => {
    goOn = resolve;
    turn.port2.postMessage(0);
  });

const session = createPropertySession((reply, transfer) => self.postMessage(reply, { transfer: transfer ?? [] }), nextTurn);
self.onmessage = (event: MessageEvent<WorkerRequest>) => session.receive(event.data);
