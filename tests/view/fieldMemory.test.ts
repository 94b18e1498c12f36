import { describe, expect, it } from 'vitest';
import type { SceneModel } from '../../src/scene/index.ts';
import { listenToField, rememberField } from '../../src/view/field/fieldMemory.ts';
import type { FieldUpdate, LightClient, WorkerEvent } from '../../src/worker/index.ts';

function fakeClient(): { client: LightClient; say: (event: WorkerEvent) => void } {
  const listeners = new Set<(event: WorkerEvent) => void>();
  const client = {
    show: () => {},
    onEvent(listener: (event: WorkerEvent) => void) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    read: () => Promise.resolve(undefined),
    readAlong: () => Promise.resolve(undefined),
    close: () => {},
  } as unknown as LightClient;
  return { client, say: (event) => listeners.forEach((listener) => void listener(event)) };
}

const slotNumbers = 32 * 32 * 4;
function update(revision: number, slots: number[], value: number, tiles?: FieldUpdate['tiles']): FieldUpdate {
  const fill = (): Uint16Array => new Uint16Array(slots.length * slotNumbers).fill(value);
  const valid = new Uint32Array(slots.length * 32);
  return { revision, stage: 'direct', slots, direct: fill(), indirect: fill(), valid, ...(tiles ? { tiles } : {}) };
}
const scene = (name: string): SceneModel => ({ name }) as unknown as SceneModel;

describe('memory of the field', () => {
  it('tells a picture mounted late everything said before, the newest of each slot', () => {
    const { client, say } = fakeClient();
    rememberField(client);
    const first = scene('a');
    say({ type: 'scene', revision: 1, scene: first });
    say({ type: 'field', update: update(1, [0, 1, 2], 7, []) });
    say({ type: 'field', update: update(2, [1], 9) });
    const heard: unknown[] = [];
    let sum: FieldUpdate | undefined;
    listenToField(client, { setScene: (s) => heard.push(s), setField: (u) => (sum = u) });
    expect(heard).toEqual([first]);
    expect(sum?.revision).toBe(2);
    const at = (slot: number): number => sum!.direct[sum!.slots.indexOf(slot) * slotNumbers]!;
    expect([at(0), at(1), at(2)]).toEqual([7, 9, 7]);
  });

  it('forgets the slots of an earlier property once the new one has light, not before', () => {
    const { client, say } = fakeClient();
    rememberField(client);
    say({ type: 'scene', revision: 1, scene: scene('a') });
    say({ type: 'field', update: update(1, [0, 1], 7, []) });
    say({ type: 'scene', revision: 2, scene: scene('b') });
    const early: unknown[] = [];
    listenToField(client, { setScene: (s) => early.push(s), setField: (u) => early.push(u.slots) });
    expect(early).toEqual([scene('a'), [0, 1], scene('b')]);
    say({ type: 'field', update: update(2, [5], 3, []) });
    const late: unknown[] = [];
    listenToField(client, { setScene: (s) => late.push(s), setField: (u) => late.push(u.slots) });
    expect(late).toEqual([scene('b'), [5]]);
  });
});
