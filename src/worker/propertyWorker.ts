import { createHelper, type HelperRequest, isForHelper } from './helper.ts';
import type { WorkerRequest } from './messages.ts';
import { createHelperPool, type HelperPort, helperCount } from './pool.ts';
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

/** Helpers run this very script: nothing more to load. */
const startHelper = (): HelperPort => new Worker(self.location.href, { type: 'module', name: 'helper' }) as unknown as HelperPort;

let session: ReturnType<typeof createPropertySession> | undefined;
let helper: ReturnType<typeof createHelper> | undefined;
self.onmessage = (event: MessageEvent<WorkerRequest | HelperRequest>) => {
  const message = event.data;
  if (isForHelper(message)) {
    helper ??= createHelper((reply, transfer) => self.postMessage(reply, { transfer }));
    helper.receive(message);
    return;
  }
  session ??= createPropertySession(
    (reply, transfer) => self.postMessage(reply, { transfer: transfer ?? [] }),
    nextTurn,
    () => createHelperPool(startHelper, helperCount(navigator.hardwareConcurrency)),
  );
  session.receive(message);
};
