import type { WorkerReply, WorkerRequest } from './messages.ts';
import type { LightClient, ShowRequest, WorkerEvent } from './types.ts';

/** Deaths without a settled picture in between, after which no worker is started by itself. */
const MOST_DEATHS = 2;

/** What the client needs of a worker; tests pass a stand-in. */
export interface WorkerPort {
  postMessage(message: WorkerRequest): void;
  terminate(): void;
  onmessage: ((event: { data: WorkerReply }) => void) | null;
  onerror: ((event: { message?: string }) => void) | null;
}

/**
 * Handle on the property worker. Newest request wins; events of older revisions are dropped; a worker that dies is
 * replaced, the last request is sent again once, and what happened is said in a `failed` event.
 */
export function createLightClient(createWorker: () => WorkerPort = startPropertyWorker): LightClient {
  const listeners = new Set<(event: WorkerEvent) => void>();
  const calls = new Map<number, (value: unknown) => void>();
  let nextCall = 1;
  let latest: ShowRequest | undefined;
  let deathsSinceSettled = 0;
  /** True after too many deaths in a row: the next request starts a worker again, nothing else does. */
  let ended = false;
  let worker = start();

  function start(): WorkerPort {
    const port = createWorker();
    port.onmessage = (event) => receive(event.data);
    port.onerror = (event) => died(event.message ?? 'the worker stopped');
    return port;
  }

  function receive(reply: WorkerReply): void {
    if (reply.type === 'reading' || reply.type === 'remedy' || reply.type === 'dazzle') {
      calls.get(reply.call)?.(answerOf(reply));
      calls.delete(reply.call);
      return;
    }
    if (isStale(reply)) return;
    if (reply.type === 'settled') deathsSinceSettled = 0;
    for (const listener of listeners) listener(reply);
  }

  function isStale(event: WorkerEvent): boolean {
    if (!latest || event.type === 'scene') return false;
    // Field updates are increments of the atlas and must all arrive; the rest speaks for one revision.
    if (event.type === 'field') return false;
    const revision = event.type === 'judged' ? event.state.revision : event.revision;
    return revision < latest.revision;
  }

  function died(message: string): void {
    for (const answer of calls.values()) answer(undefined);
    calls.clear();
    worker.terminate();
    deathsSinceSettled++;
    ended = deathsSinceSettled >= MOST_DEATHS;
    if (!ended) worker = start();
    const revision = latest?.revision ?? 0;
    const during = 'the light solve';
    for (const listener of listeners) listener({ type: 'failed', revision, message, during });
    if (latest && !ended) worker.postMessage({ type: 'show', request: latest });
  }

  function call<T>(message: (call: number) => WorkerRequest): Promise<T> {
    return new Promise<T>((resolve) => {
      if (ended) {
        resolve(undefined as T);
        return;
      }
      const id = nextCall++;
      calls.set(id, resolve as (value: unknown) => void);
      worker.postMessage(message(id));
    });
  }

  return {
    show(request) {
      latest = request;
      if (ended) {
        ended = false;
        worker = start();
      }
      worker.postMessage({ type: 'show', request });
    },
    onEvent(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    read: (at, normal) => call((id) => ({ type: 'read', call: id, at, normal })),
    readAlong: (from, direction) => call((id) => ({ type: 'readAlong', call: id, from, direction })),
    findRemedy: (finding) => call((id) => ({ type: 'remedy', call: id, finding })),
    findDazzle: (lightId) => call((id) => ({ type: 'dazzle', call: id, lightId })),
    close: () => worker.terminate(),
  };
}

function answerOf(reply: Extract<WorkerReply, { call: number }>): unknown {
  if (reply.type === 'reading') return reply.reading;
  return reply.type === 'remedy' ? reply.remedy : reply.area;
}

let first: WorkerPort | undefined;

/** Starts a worker that the page's first client will take over. */
export function startFirstWorker(): void {
  first ??= makeWorker();
}

function startPropertyWorker(): WorkerPort {
  const worker = first ?? makeWorker();
  first = undefined;
  return worker;
}

function makeWorker(): WorkerPort {
  return new Worker(new URL('./propertyWorker.ts', import.meta.url), {
    type: 'module',
    name: 'property',
  }) as unknown as WorkerPort;
}
