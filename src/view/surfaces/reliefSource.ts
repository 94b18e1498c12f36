import type { ReliefMaps } from '../../materials/index.ts';

const made = new Map<string, Promise<ReliefMaps>>();
let worker: Worker | undefined;
const waiting = new Map<string, (maps: ReliefMaps) => void>();

/** Relief maps by name, worked out once a page in a worker of their own, or here where workers are refused. */
export function reliefMaps(name: string): Promise<ReliefMaps> {
  let promise = made.get(name);
  if (!promise) {
    promise = new Promise<ReliefMaps>((resolve) => {
      waiting.set(name, resolve);
      ask(name);
    });
    made.set(name, promise);
  }
  return promise;
}

function ask(name: string): void {
  try {
    worker ??= startWorker();
    worker.postMessage({ name });
  } catch {
    makeHere(name);
  }
}

function startWorker(): Worker {
  const started = new Worker(new URL('./reliefWorker.ts', import.meta.url), { type: 'module' });
  started.onmessage = (event: MessageEvent<ReliefMaps>) => deliver(event.data);
  started.onerror = () => {
    for (const name of [...waiting.keys()]) makeHere(name);
  };
  return started;
}

function makeHere(name: string): void {
  void import('./reliefHere.ts').then(({ makeRelief }) => {
    const maps = makeRelief(name);
    if (maps) deliver(maps);
  });
}

/** The worker ends when nothing is waited for; a later ask starts another. */
function deliver(maps: ReliefMaps): void {
  waiting.get(maps.laying.name)?.(maps);
  waiting.delete(maps.laying.name);
  if (waiting.size > 0) return;
  worker?.terminate();
  worker = undefined;
}
