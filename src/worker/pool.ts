import type { LampHelpers, LampSight } from '../lights/index.ts';
import type { SceneModel } from '../scene/index.ts';
import type { HelperReply, HelperRequest } from './helper.ts';

/** Lamps a helper has in hand at a time: one to look from, one to go on with. */
const IN_FLIGHT = 2;
/** Processors beyond this add nothing: the worker that shares out is one thread. */
const MOST_WORKERS = 8;
/** With two processors the page draws on the second; pairs of runs on a busy machine of two showed no gain from a helper. */
const LEAST_PROCESSORS = 3;
/** A helper that has said nothing for this long, with a lamp in hand, counts as gone. */
const SILENT_MS = 4000;

/** What the pool needs of a helper; tests and Node pass their own. */
export interface HelperPort {
  postMessage(message: HelperRequest): void;
  terminate(): void;
  onmessage: ((event: { data: HelperReply }) => void) | null;
  onerror: ((event: { message?: string }) => void) | null;
}

export interface HelperPool extends LampHelpers {
  /** Resolves when something came back, or a helper was given up. */
  news(): Promise<void>;
  close(): void;
}

interface Helper {
  port: HelperPort;
  /** Number of the scene it was sent. */
  scene: number;
  inHand: Set<string>;
  heardAt: number;
}

/** Helpers beside the worker itself: one a processor, at most eight workers in all; none where the page needs what is left. */
export const helperCount = (processors: number): number =>
  processors < LEAST_PROCESSORS ? 0 : Math.min(MOST_WORKERS, processors) - 1;

/**
 * Shares lamps out to helpers, two in flight each; the scene goes to each once. A helper that dies or falls silent is let go
 * and its lamps are given back: the solver looks from them itself.
 */
export function createHelperPool(
  createPort: () => HelperPort,
  count: number,
  now: () => number = () => performance.now(),
): HelperPool {
  let helpers: Helper[] = [];
  let scene: SceneModel | undefined;
  let number = 0;
  let back: { sourceId: string; sight: LampSight | undefined }[] = [];
  let listeners: (() => void)[] = [];
  for (let k = 0; k < count; k++) start();

  function start(): void {
    let helper: Helper;
    try {
      helper = { port: createPort(), scene: 0, inHand: new Set(), heardAt: now() };
    } catch {
      // No helpers where workers may not start workers: everything still works, on one thread.
      return;
    }
    helper.port.onmessage = ({ data }) => {
      helper.heardAt = now();
      helper.inHand.delete(data.sourceId);
      if (data.number === number) back.push(data);
      tell();
    };
    helper.port.onerror = () => letGo(helper);
    helpers.push(helper);
  }

  function letGo(helper: Helper): void {
    if (!helpers.includes(helper)) return;
    helpers = helpers.filter((h) => h !== helper);
    helper.port.terminate();
    for (const sourceId of helper.inHand) back.push({ sourceId, sight: undefined });
    tell();
  }

  function tell(): void {
    const waiting = listeners;
    listeners = [];
    for (const listener of waiting) listener();
  }

  function letSilentGo(): void {
    for (const helper of helpers) if (helper.inHand.size > 0 && now() - helper.heardAt > SILENT_MS) letGo(helper);
  }

  return {
    ask(asked, job) {
      const free = helpers.reduce<Helper | undefined>(
        (best, h) => (h.inHand.size < (best?.inHand.size ?? IN_FLIGHT) ? h : best),
        undefined,
      );
      if (!free) return false;
      if (asked !== scene) {
        scene = asked;
        number++;
        back = [];
      }
      if (free.scene !== number) {
        free.port.postMessage({ type: 'helpScene', number, scene });
        free.scene = number;
      }
      if (free.inHand.size === 0) free.heardAt = now();
      free.inHand.add(job.source.id);
      free.port.postMessage({ type: 'helpLook', number, job });
      return true;
    },
    take() {
      letSilentGo();
      return back.splice(0);
    },
    news() {
      if (back.length > 0) return Promise.resolve();
      return new Promise((resolve) => {
        const timer = setTimeout(resolve, SILENT_MS / 4);
        listeners.push(() => {
          clearTimeout(timer);
          resolve();
        });
      });
    },
    close() {
      for (const helper of helpers) helper.port.terminate();
      helpers = [];
    },
  };
}
