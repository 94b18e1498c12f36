import { createForeseer, type LampSight, type SightJob } from '../lights/index.ts';
import type { SceneModel } from '../scene/index.ts';

/** Property worker → helper. */
export type HelperRequest =
  | { type: 'helpScene'; number: number; scene: SceneModel }
  | { type: 'helpLook'; number: number; job: SightJob };

/** Helper → property worker: what one lamp sees, for the scene of that number. */
export interface HelperReply {
  number: number;
  sourceId: string;
  sight: LampSight;
}

/** A helper looks from lamps in a copy of the scene; it keeps nothing between two lamps but the scene and its tiles. */
export function createHelper(post: (reply: HelperReply, transfer: ArrayBuffer[]) => void) {
  let number = 0;
  let scene: SceneModel | undefined;
  let look: ((job: SightJob) => LampSight) | undefined;
  return {
    receive(message: HelperRequest): void {
      if (message.type === 'helpScene') {
        ({ number, scene } = message);
        look = undefined;
        return;
      }
      if (message.number !== number || !scene) return;
      look ??= createForeseer(scene);
      const sight = look(message.job);
      post({ number, sourceId: message.job.source.id, sight }, [sight.tiles.buffer, sight.groups.buffer, sight.numbers.buffer]);
    },
  };
}

export const isForHelper = (message: { type: string }): message is HelperRequest =>
  message.type === 'helpScene' || message.type === 'helpLook';
