const STRIP_SHARE = 0.032;

/** Draws the caption under the picture's foot and writes it into the file as a tEXt chunk; same pixel size as asked. */
export async function captionedPng(png: Uint8Array<ArrayBuffer>, width: number, height: number, caption: string): Promise<Blob> {
  const bitmap = await createImageBitmap(new Blob([png], { type: 'image/png' }));
  const canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext('2d');
  if (!context) throw new Error('This browser gives no drawing surface for the caption.');
  context.drawImage(bitmap, 0, 0, width, height);
  const strip = Math.max(28, Math.round(height * STRIP_SHARE));
  context.fillStyle = '#121212';
  context.fillRect(0, height - strip, width, strip);
  context.fillStyle = '#f1f1ee';
  let size = Math.round(strip * 0.52);
  const font = (px: number) => `${px}px "Source Sans 3 Variable", system-ui, sans-serif`;
  context.font = font(size);
  while (size > 10 && context.measureText(caption).width > width - strip) {
    size -= 1;
    context.font = font(size);
  }
  context.textBaseline = 'middle';
  context.fillText(caption, strip / 2, height - strip / 2);
  const drawn = new Uint8Array(await (await canvas.convertToBlob({ type: 'image/png' })).arrayBuffer());
  return new Blob([withText(drawn, 'Description', caption)], { type: 'image/png' });
}

const CRC_TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c >>> 0;
});

/** CRC-32 of ISO 3309, as PNG (W3C, second edition, annex D) asks for. */
export function crc32(bytes: Uint8Array): number {
  let c = 0xffffffff;
  for (const byte of bytes) c = ((CRC_TABLE[(c ^ byte) & 0xff] ?? 0) ^ (c >>> 8)) >>> 0;
  return (c ^ 0xffffffff) >>> 0;
}

/** Latin-1 as a tEXt chunk asks for; signs outside it become plain ones. */
function latin1(text: string): Uint8Array {
  const plain = text.replaceAll('−', '-').replaceAll('’', "'");
  return Uint8Array.from(plain, (ch) => (ch.charCodeAt(0) < 256 ? ch.charCodeAt(0) : 63));
}

/** Puts a tEXt chunk after the header chunk (8 bytes of signature, 25 of IHDR). */
export function withText(png: Uint8Array, keyword: string, text: string): Uint8Array<ArrayBuffer> {
  const body = new Uint8Array([...latin1('tEXt'), ...latin1(keyword), 0, ...latin1(text)]);
  const chunk = new Uint8Array(body.length + 8);
  const view = new DataView(chunk.buffer);
  view.setUint32(0, body.length - 4);
  chunk.set(body, 4);
  view.setUint32(body.length + 4, crc32(body));
  const at = 33;
  const out = new Uint8Array(png.length + chunk.length);
  out.set(png.subarray(0, at), 0);
  out.set(chunk, at);
  out.set(png.subarray(at), at + chunk.length);
  return out;
}
