import { decodePhotometry } from './decode.ts';
import { readEulumdat } from './eulumdat.ts';
import { readLm63 } from './lm63.ts';
import type { Photometry } from './types.ts';

/**
 * Reads a photometric file, LM-63 or EULUMDAT, by what stands in it; its name decides only where the text does not.
 * @param fileName used for its ending and as name of a table that names itself nothing.
 * @throws {PhotometryError} one sentence with line and token.
 */
export function readPhotometry(bytes: Uint8Array, fileName = ''): Photometry {
  const { lines, warnings } = decodePhotometry(bytes);
  const lm63 = lines.some((line) => /^\s*TILT\s*=/i.test(line)) || /^\s*IES(NA)?\s*:?\s*(LM-63|91)/i.test(firstText(lines));
  const read = lm63 || /\.ies$/i.test(fileName) ? readLm63(lines, warnings) : readEulumdat(lines, warnings);
  if (read.table.sourceName !== '') return read;
  return { ...read, table: { ...read.table, sourceName: fileName.slice(0, 200) } };
}

const firstText = (lines: readonly string[]): string => lines.find((line) => line.trim() !== '') ?? '';
