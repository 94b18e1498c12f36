import { describe, expect, it } from 'vitest';
import { createLightClient, type WorkerPort } from '../../src/worker/client.ts';
import type { WorkerRequest } from '../../src/worker/messages.ts';
import type { ShowRequest, WorkerEvent } from '../../src/worker/types.ts';

class FakeWorker implements WorkerPort {
  static made: FakeWorker[] = [];
  sent: WorkerRequest[] = [];
  gone = false;
  onmessage: WorkerPort['onmessage'] = null;
  onerror: WorkerPort['onerror'] = null;
  constructor() {
    FakeWorker.made.push(this);
  }
  postMessage(message: WorkerRequest) {
    this.sent.push(message);
  }
  terminate() {
    this.gone = true;
  }
}

function open() {
  FakeWorker.made = [];
  const client = createLightClient(() => new FakeWorker());
  const events: WorkerEvent[] = [];
  client.onEvent((event) => events.push(event));
  return { client, events, workers: FakeWorker.made, newest: () => FakeWorker.made.at(-1)! };
}

const request = (revision: number) => ({ revision }) as ShowRequest;

describe('light client', () => {
  it('replaces a worker that dies, says so, and asks again once', () => {
    const { client, events, workers, newest } = open();
    client.show(request(1));
    newest().onerror?.({ message: 'killed' });
    expect(workers).toHaveLength(2);
    expect(workers[0]!.gone).toBe(true);
    expect(newest().sent).toEqual([{ type: 'show', request: request(1) }]);
    expect(events.map((e) => e.type)).toEqual(['failed']);
  });

  it('starts no worker by itself after the second death, and again when asked', async () => {
    const { client, workers, newest } = open();
    client.show(request(1));
    newest().onerror?.({});
    newest().onerror?.({});
    expect(workers).toHaveLength(2);
    expect(await client.read([0, 0, 0], [0, 1, 0])).toBeUndefined();
    client.show(request(2));
    expect(workers).toHaveLength(3);
    expect(newest().sent).toEqual([{ type: 'show', request: request(2) }]);
  });

  it('drops what older revisions say, but never a field update', () => {
    const { client, events, newest } = open();
    client.show(request(1));
    client.show(request(2));
    newest().onmessage?.({ data: { type: 'progress', revision: 1, text: 'old' } });
    newest().onmessage?.({ data: { type: 'progress', revision: 2, text: 'new' } });
    newest().onmessage?.({ data: { type: 'field', update: { revision: 1 } } as never });
    expect(events.map((e) => e.type)).toEqual(['progress', 'field']);
  });

  it('answers calls that died with the worker', async () => {
    const { client, newest } = open();
    const reading = client.readAlong([0, 0, 0], [0, 0, 1]);
    newest().onerror?.({});
    expect(await reading).toBeUndefined();
  });
});
