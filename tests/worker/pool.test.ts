import { describe, expect, it } from 'vitest';
import { createLightModel, type LightModel, type Source } from '../../src/lights/index.ts';
import type { SceneModel } from '../../src/scene/index.ts';
import { createHelper, createHelperPool, type HelperPool, type HelperPort, helperCount } from '../../src/worker/index.ts';
import { plant } from '../lights/leaves.fixture.ts';
import { SceneSketch } from '../lights/testScene.ts';
import { NIGHT, testSource } from '../lights/testSource.ts';

function yard(): SceneModel {
  const sketch = new SceneSketch();
  sketch.rect([-3, 0, 0], [6, 0, 0], [0, 3, 0], { reflectance: 0.4, id: 'wall' });
  sketch.rect([-3, 0, 4], [6, 0, 0], [0, 0, -4], { reflectance: 0.2, id: 'lawn' });
  sketch.box([-1, 1.5, 0], [1, 1.58, 0.1], { id: 'ledge', sampled: false });
  sketch.scene.plants.push(plant('bush', [[1.5, 0.6, 1.5, 0.4]], 2, 10));
  return sketch.build();
}
const lamps = (): Source[] =>
  Array.from({ length: 9 }, (_, k) =>
    testSource([-2.4 + 0.6 * k, 0.1, 0.4 + 0.1 * (k % 3)], [-2.4 + 0.6 * k, 3, 0.2], {
      id: `l${k}`,
      beamAngleFullDeg: 36,
      lensRadiusM: 0.02,
      spillShare: 0.1,
    }),
  );

/** A helper in this thread that answers at the next turn; `mute`: it takes lamps and never says a word. */
function port(mute = false): HelperPort & { ended: boolean } {
  const self: HelperPort & { ended: boolean } = {
    ended: false,
    onmessage: null,
    onerror: null,
    postMessage: (message) => {
      if (!mute) setImmediate(() => helper.receive(structuredClone(message)));
    },
    terminate: () => {
      self.ended = true;
    },
  };
  const helper = createHelper((data) => self.onmessage?.({ data }));
  return self;
}

async function solved(helpers?: HelperPool): Promise<{ model: LightModel; waits: number }> {
  const model = createLightModel(yard(), { bounceRays: 4, tileBudget: 220 });
  model.setSources(lamps(), NIGHT);
  let waits = 0;
  for (const step of model.solve(helpers)) {
    if (!step.waiting) continue;
    waits++;
    await new Promise((resolve) => setImmediate(resolve));
  }
  return { model, waits };
}

function expectSameField(a: LightModel, b: LightModel): void {
  expect(a.field.tiles.map((t) => t.id).sort()).toEqual(b.field.tiles.map((t) => t.id).sort());
  const slots = new Map(b.field.tiles.map((t) => [t.id, t.slot]));
  let worst = 0;
  for (const { id, slot } of a.field.tiles) {
    for (let k = 0; k < 3072; k++) {
      const other = b.field.directRgb[slots.get(id)! * 3072 + k]!;
      worst = Math.max(worst, Math.abs(a.field.directRgb[slot * 3072 + k]! - other) / Math.max(0.01, other));
    }
  }
  a.field.cards.forEach((x, k) => {
    worst = Math.max(worst, Math.abs(x - b.field.cards[k]!) / Math.max(0.01, b.field.cards[k]!));
  });
  expect(worst).toBeLessThan(1e-3);
}

describe('lamps shared out to helpers', () => {
  it('gives the same field as one thread, and the helpers did look', async () => {
    const pool = createHelperPool(() => port(), 2);
    const { model } = await solved(pool);
    expectSameField(model, (await solved()).model);
    let answers = 0;
    const counted: HelperPool = {
      ...pool,
      take: () => {
        const out = pool.take();
        answers += out.filter((a) => a.sight).length;
        return out;
      },
    };
    await solved(counted);
    expect(answers).toBeGreaterThan(0);
  });

  it('a helper that ends silently: its lamps are looked from by the worker itself, and it is let go', async () => {
    let hours = 0;
    const ports: ReturnType<typeof port>[] = [];
    const pool = createHelperPool(
      () => {
        ports.push(port(true));
        return ports[ports.length - 1]!;
      },
      1,
      () => 3.6e6 * hours++,
    );
    const { model } = await solved(pool);
    expectSameField(model, (await solved()).model);
    expect(ports[0]!.ended).toBe(true);
  });

  it('a helper that dies with lamps in hand gives them back, and one processor has none', async () => {
    const failing = port(true);
    const pool = createHelperPool(() => failing, 1);
    const step = solved(pool);
    await new Promise((resolve) => setImmediate(resolve));
    failing.onerror?.({ message: 'out of memory' });
    expectSameField((await step).model, (await solved(createHelperPool(() => port(), 0))).model);
    expect([1, 2, 4, 16].map(helperCount)).toEqual([0, 0, 3, 7]);
  });
});
