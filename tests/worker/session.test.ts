import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parseProperty } from '../../src/scene/index.ts';
import type { WorkerReply } from '../../src/worker/messages.ts';
import { createPropertySession } from '../../src/worker/session.ts';
import type { ShowRequest } from '../../src/worker/types.ts';
import { textbook } from '../cli/runCli.ts';

const parsed = parseProperty(readFileSync(textbook('wall-uplight'), 'utf8'));
if (!parsed.ok) throw new Error('textbook file does not read');
const document = parsed.document;

const show = (revision: number, change: Partial<ShowRequest> = {}): ShowRequest => ({
  revision,
  document,
  schemeId: 'only',
  after: true,
  conditions: { sunAltitudeDeg: -6, sunAzimuthDeg: 270, moon: 'none', cloud: 'clear', leaves: 'on' },
  ...change,
});

/** A session with its replies, and a promise for the first reply that fits. */
function open() {
  const replies: WorkerReply[] = [];
  const waiting: { fits: (r: WorkerReply) => boolean; done: (r: WorkerReply) => void }[] = [];
  const session = createPropertySession(
    (reply) => {
      replies.push(reply);
      for (const w of waiting) if (w.fits(reply)) w.done(reply);
    },
    () => new Promise((resolve) => setImmediate(resolve)),
  );
  const until = (fits: (r: WorkerReply) => boolean) => new Promise<WorkerReply>((done) => waiting.push({ fits, done }));
  return { session, replies, until };
}

describe('property session', () => {
  it('sends the scene, light, settled and a judgement, in this order', async () => {
    const { session, replies, until } = open();
    const judged = until((r) => r.type === 'judged');
    session.receive({ type: 'show', request: show(1) });
    await judged;
    const order = ['scene', 'field', 'settled', 'judged'].map((type) => replies.findIndex((r) => r.type === type));
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(order.every((i) => i >= 0)).toBe(true);
  });

  it('lets a newer request overtake and settles the newest', async () => {
    const { session, replies, until } = open();
    const settled = until((r) => r.type === 'settled' && r.revision === 3);
    for (const revision of [1, 2, 3]) session.receive({ type: 'show', request: show(revision) });
    await settled;
    const ends = replies.filter((r) => r.type === 'settled').map((r) => (r.type === 'settled' ? r.revision : 0));
    expect(ends).toEqual([3]);
  });

  it('shows an edited massing at once with the light it had, then brings it up to date', async () => {
    const { session, replies, until } = open();
    const settled = until((r) => r.type === 'settled');
    session.receive({ type: 'show', request: show(1) });
    await settled;
    replies.length = 0;
    const higher = {
      ...document,
      buildings: document.buildings.map((b) => ({
        ...b,
        parts: b.parts.map((p) => (p.kind === 'wall' ? { ...p, heightM: 7.5 } : p)),
      })),
    };
    const again = until((r) => r.type === 'settled' && r.revision === 2);
    session.receive({ type: 'show', request: show(2, { document: higher }) });
    await again;
    const first = replies[replies.findIndex((r) => r.type === 'scene') + 1];
    expect(first?.type === 'field' && first.update.kept && first.update.tiles !== undefined).toBe(true);
    // A whole field follows for what changed.
    expect(replies.some((r) => r.type === 'field' && !r.update.kept && r.update.slots.length > 0)).toBe(true);
  });

  it('reads the shown hour while it judges, and not the judging night', async () => {
    const { session, until } = open();
    const settled = until((r) => r.type === 'settled');
    session.receive({ type: 'show', request: show(1) });
    await settled;
    const read = async (call: number) => {
      const reply = until((r) => r.type === 'reading' && r.call === call);
      session.receive({ type: 'read', call, at: [0, 3, 0], normal: [0, 0, 1] });
      return reply;
    };
    const during = await read(1);
    const after = until((r) => r.type === 'judged');
    await after;
    const later = await read(2);
    const lux = (r: WorkerReply) => (r.type === 'reading' ? r.reading?.light : undefined);
    expect(lux(during)?.skyLx).toBeGreaterThan(0.5);
    expect(lux(during)?.skyLx).toBeCloseTo(lux(later)?.skyLx ?? 0, 6);
    expect(lux(during)?.directLx).toBeCloseTo(lux(later)?.directLx ?? 0, 9);
  });

  it('says what failed and goes on', async () => {
    const { session, until } = open();
    const failed = until((r) => r.type === 'failed');
    session.receive({ type: 'show', request: show(1, { schemeId: 'no-such' }) });
    expect(await failed).toMatchObject({ revision: 1 });
    const settled = until((r) => r.type === 'settled');
    session.receive({ type: 'show', request: show(2) });
    expect(await settled).toMatchObject({ revision: 2 });
  });
});
