/** PNG bytes of RGBA rows from the top, by the browser's own encoder. */
export async function encodePng(pixels: Uint8ClampedArray<ArrayBuffer>, width: number, height: number): Promise<Uint8Array> {
  const canvas = document.createElement('canvas');
  canvas.width = width;
  canvas.height = height;
  const context = canvas.getContext('2d');
  if (!context) throw new Error('The picture could not be encoded: this browser gives no 2D canvas.');
  context.putImageData(new ImageData(pixels, width, height), 0, 0);
  const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, 'image/png'));
  if (!blob) throw new Error(`The picture of ${width} by ${height} pixels could not be encoded; a smaller one may be.`);
  return new Uint8Array(await blob.arrayBuffer());
}
