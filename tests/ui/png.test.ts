import { PNG } from 'pngjs';
import { describe, expect, it } from 'vitest';
import { crc32, withText } from '../../src/ui/margin/sheets/captionedPng.ts';

describe('text chunk of exported pictures', () => {
  it('computes the CRC-32 check value of "123456789", CBF43926 (ISO 3309, as PNG annex D)', () => {
    expect(crc32(new TextEncoder().encode('123456789'))).toBe(0xcbf43926);
  });

  it('keeps the picture readable by another decoder and carries the caption in plain signs', () => {
    const png = new PNG({ width: 2, height: 2 });
    png.data.fill(77);
    const bytes = withText(new Uint8Array(PNG.sync.write(png)), 'Description', 'sun −6.0° · EV 3.0 · preview, not a promise');
    const back = PNG.sync.read(Buffer.from(bytes), { checkCRC: true });
    expect([back.width, back.height, back.data[0]]).toEqual([2, 2, 77]);
    expect(Buffer.from(bytes).toString('latin1')).toContain('tEXtDescription\0sun -6.0° · EV 3.0 · preview, not a promise');
  });
});
