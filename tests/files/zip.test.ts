import { unzipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { zipOf } from '../../src/files/index.ts';

describe('a set of files in one ZIP', () => {
  const files = [
    { name: 'street-before.png', bytes: Uint8Array.from([1, 2, 3]) },
    { name: 'captions.txt', bytes: new TextEncoder().encode('Before · EV 3.0') },
  ];

  it('comes back as it went in, and the same set twice is the same bytes', async () => {
    const [a, b] = await Promise.all(
      [zipOf(files), zipOf(files)].map(async (blob) => new Uint8Array(await (await blob).arrayBuffer())),
    );
    expect(unzipSync(a!)).toEqual({ 'street-before.png': files[0]!.bytes, 'captions.txt': files[1]!.bytes });
    expect(a).toEqual(b);
    // Local file header signature, PKWARE APPNOTE 4.3.7.
    expect([...a!.subarray(0, 4)]).toEqual([0x50, 0x4b, 0x03, 0x04]);
  });
});
