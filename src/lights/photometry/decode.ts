import { PhotometryError } from './types.ts';

/** Largest file that is looked at; a table of 721 × 721 values needs about 4 MB. */
export const PHOTOMETRY_MAX_BYTES = 8 * 1024 * 1024;

export interface DecodedText {
  lines: string[];
  warnings: string[];
}

/** @throws {PhotometryError} a file over the limit; ask before its bytes are loaded. */
export function checkPhotometrySize(bytes: number): void {
  if (bytes > PHOTOMETRY_MAX_BYTES) {
    const mb = (bytes / 1024 / 1024).toFixed(1);
    throw new PhotometryError(0, '', `the file has ${mb} MB; photometric files up to 8 MB are read`);
  }
}

/**
 * Bytes → lines of text. UTF-8 with or without mark, UTF-16 with its mark, else ISO 8859-1 (said when it matters).
 * A CTRL-Z ends the text, as on old systems.
 * @throws {PhotometryError} empty, too large, NUL bytes, UTF-16 without its mark.
 */
export function decodePhotometry(bytes: Uint8Array): DecodedText {
  checkPhotometrySize(bytes.length);
  if (bytes.length === 0)
    throw new PhotometryError(0, '', 'the file is empty; an LM-63 (.ies) or EULUMDAT (.ldt) file is accepted');
  const warnings: string[] = [];
  let text = decodeUnicode(bytes, warnings);
  const end = text.indexOf('\x1a');
  if (end >= 0) {
    if (
      text
        .slice(end + 1)
        .replaceAll('\x1a', '')
        .trim() !== ''
    )
      warnings.push('Text after the end-of-file mark (CTRL-Z) is left out.');
    text = text.slice(0, end);
  }
  if (text.trim() === '')
    throw new PhotometryError(0, '', 'the file holds blanks only; an LM-63 (.ies) or EULUMDAT (.ldt) file is accepted');
  return { lines: text.split(/\r\n|\n|\r/), warnings };
}

function decodeUnicode(bytes: Uint8Array, warnings: string[]): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return decodeAs('utf-16le', bytes, 'UTF-16');
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return decodeAs('utf-16be', bytes, 'UTF-16');
  const nul = bytes.indexOf(0);
  if (nul >= 0) refuseNul(bytes, nul);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    warnings.push('Text is not UTF-8; read as ISO 8859-1. Names may show other letters; numbers are not touched.');
    return Array.from({ length: Math.ceil(bytes.length / 8192) }, (_, i) =>
      String.fromCharCode(...bytes.subarray(i * 8192, (i + 1) * 8192)),
    ).join('');
  }
}

function decodeAs(encoding: string, bytes: Uint8Array, name: string): string {
  try {
    const text = new TextDecoder(encoding, { fatal: true }).decode(bytes);
    const nul = text.indexOf('\0');
    if (nul >= 0) throw new PhotometryError(text.slice(0, nul).split('\n').length, 'NUL', 'a NUL character; the file is damaged');
    return text;
  } catch (error) {
    if (error instanceof PhotometryError) throw error;
    throw new PhotometryError(0, '', `the file starts as ${name} but is damaged; save it as plain text (UTF-8)`);
  }
}

/** @throws always: NUL at every other byte is UTF-16 without its mark, anything else is no text. */
function refuseNul(bytes: Uint8Array, nul: number): never {
  const head = bytes.subarray(0, 4096);
  let odd = 0;
  let even = 0;
  head.forEach((b, i) => {
    if (b === 0 && i % 2 === 1) odd++;
    else if (b === 0) even++;
  });
  if (Math.max(odd, even) > 0.4 * (head.length / 2) && Math.min(odd, even) < 0.1 * (head.length / 2) + 1) {
    throw new PhotometryError(0, '', 'the text is UTF-16 without its mark; save it as plain text (UTF-8)');
  }
  let line = 1;
  for (let i = 0; i < nul; i++) if (bytes[i] === 10) line++;
  throw new PhotometryError(line, 'NUL', `a NUL byte at byte ${nul + 1}; the file is damaged or no text file`);
}
