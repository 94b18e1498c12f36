import type { SceneModel } from '../../scene/index.ts';
import { type BounceModel, bounceModelSteps } from '../bounce/index.ts';
import type { Caster } from '../rays/index.ts';

/** The bounce model, made bit by bit when the first picture is out, or at once for who cannot wait. */
export interface LazyBounce {
  /** Made on demand. */
  readonly model: BounceModel;
  /** Makes it; goes on where an overtaken solve left off. */
  prepare(): Generator<void, void, void>;
}

export function createLazyBounce(scene: SceneModel, caster: Caster): LazyBounce {
  const steps = bounceModelSteps(scene, caster);
  let made: BounceModel | undefined;
  const step = (): BounceModel | undefined => {
    const next = steps.next();
    if (next.done) made = next.value;
    return made;
  };
  return {
    get model() {
      for (;;) {
        const model = made ?? step();
        if (model) return model;
      }
    },
    *prepare() {
      while (!made && !step()) yield;
    },
  };
}
