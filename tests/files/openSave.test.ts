import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  LARGEST_FILE_BYTES,
  type OpenResult,
  openPropertyFile,
  openPropertyText,
  propertyBlob,
  propertyFileName,
} from '../../src/files/index.ts';
import { createEmptyProperty } from '../../src/scene/index.ts';

const demo = readFileSync('demo/brick-two-storey/brick-two-storey.property.json');
const file = (bytes: BlobPart, name: string) => Object.assign(new Blob([bytes]), { name });

async function refusal(result: Promise<OpenResult>): Promise<Extract<OpenResult, { ok: false }>> {
  const given = await result;
  if (given.ok) throw new Error('was taken');
  return given;
}

describe('opening files', () => {
  it('opens the demo, and what it saves', async () => {
    const first = await openPropertyFile(file(demo, 'brick.property.json'));
    if (!first.ok) throw new Error(first.lines.join('\n'));
    const second = await openPropertyFile(propertyBlob(first.document));
    expect(second.ok && second.document).toEqual(first.document);
  });

  it('tells of a migration', async () => {
    const result = await openPropertyFile(file(readFileSync('tests/fixtures/version-1.property.json'), 'old.property.json'));
    expect(result).toMatchObject({ ok: true, migratedFrom: 1 });
  });

  it('refuses a file cut in half, with its place and its very bytes', async () => {
    const half = demo.subarray(0, Math.floor(demo.length / 2));
    const result = await refusal(openPropertyFile(file(half, 'half.property.json')));
    expect(result.kind).toBe('json');
    expect(result.sentence).toBe(
      'half.property.json is damaged or is no property file. Nothing was changed; its bytes are kept.',
    );
    expect(result.lines[0]).toMatch(/line \d+, column \d+/);
    expect(Buffer.from(await result.bytes.arrayBuffer()).equals(half)).toBe(true);
  });

  it('refuses a newer file, a zip, bytes that are not text, and one too large to read', async () => {
    const newer = demo.toString().replace('"version": 2', '"version": 3');
    expect((await refusal(openPropertyText(newer, 'newer'))).sentence).toContain('newer was written by a newer version');
    expect((await refusal(openPropertyFile(file(new Uint8Array([0x50, 0x4b, 3, 4]), 'a.zip')))).lines[0]).toContain(
      'unpack it first',
    );
    expect((await refusal(openPropertyFile(file(new Uint8Array([0xff, 0xfe, 0]), 'x')))).kind).toBe('encoding');
    const huge = Object.assign(new Blob([]), { name: 'huge' });
    Object.defineProperty(huge, 'size', { value: LARGEST_FILE_BYTES + 1 });
    expect(await refusal(openPropertyFile(huge))).toMatchObject({ kind: 'size', lines: ['64.0 MiB; accepted: at most 64 MiB'] });
  });

  it('says so when the disk gives no content', async () => {
    const gone = Object.assign(new Blob(['{}']), { name: 'gone' });
    gone.arrayBuffer = () => Promise.reject(new DOMException('gone', 'NotFoundError'));
    expect((await refusal(openPropertyFile(gone))).kind).toBe('unreadable');
  });

  it('lists at most eight errors and counts the rest', async () => {
    const wrong = {
      ...createEmptyProperty('x'),
      receivers: Array.from({ length: 12 }, (_, i) => ({ id: `r${i}`, at: [0, 0, 0] })),
    };
    const { lines } = await refusal(openPropertyText(JSON.stringify(wrong)));
    expect(lines).toHaveLength(9);
    expect(lines[8]).toBe('and 4 more');
  });
});

describe('file names', () => {
  it('hold letters, digits and dashes whatever the property is called', () => {
    expect(propertyFileName('Brick two-storey')).toBe('brick-two-storey.property.json');
    expect(propertyFileName('Façade <script>')).toBe('facade-script.property.json');
    expect(propertyFileName('../../etc')).toBe('etc.property.json');
    expect(propertyFileName('家')).toBe('property.property.json');
    expect(propertyFileName('x'.repeat(500)).length).toBeLessThanOrEqual(75);
  });
});
