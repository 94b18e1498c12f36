import { formatPropertyError, parseProperty, type PropertyDocument, type RefusalKind } from '../scene/index.ts';

/** Largest property file read, bytes: 64 MiB. */
export const LARGEST_FILE_BYTES = 64 * 1024 * 1024;
/** Refusal lines shown in full before "and n more". */
const LINES_SHOWN = 8;

export type OpenResult =
  | { ok: true; name: string; document: PropertyDocument; migratedFrom: number | undefined }
  | {
      ok: false;
      name: string;
      kind: RefusalKind | 'size' | 'encoding' | 'unreadable';
      /** One sentence for the head of the message. */
      sentence: string;
      /** What is wrong, where, what would be accepted; one line each. */
      lines: string[];
      /** The very bytes of the file, to be saved again untouched. */
      bytes: Blob;
    };

const SENTENCES: Record<RefusalKind, string> = {
  json: 'is damaged or is no property file',
  newer: 'was written by a newer version of this program',
  format: 'is no property file',
  invalid: 'holds something this program does not accept',
  limit: 'is larger than this program takes',
};

/**
 * Reads a property file. A refused one leaves the running property alone and keeps its bytes.
 *
 * @param file a File of the browser, or any Blob with a name.
 */
export async function openPropertyFile(file: Blob & { readonly name?: string }): Promise<OpenResult> {
  const name = file.name ?? 'file';
  const refuse = (kind: Extract<OpenResult, { ok: false }>['kind'], what: string, lines: string[]): OpenResult => ({
    ok: false,
    name,
    kind,
    sentence: `${name} ${what}. Nothing was changed; its bytes are kept.`,
    lines,
    bytes: file,
  });
  if (file.size > LARGEST_FILE_BYTES) {
    const mib = (file.size / 1024 / 1024).toFixed(1);
    return refuse('size', 'is too large to read', [`${mib} MiB; accepted: at most ${LARGEST_FILE_BYTES / 1024 / 1024} MiB`]);
  }
  let bytes: Uint8Array;
  try {
    bytes = new Uint8Array(await file.arrayBuffer());
  } catch {
    return refuse('unreadable', 'could not be read from the disk', ['The browser gave no content; the file may have moved.']);
  }
  const zipped = bytes[0] === 0x50 && bytes[1] === 0x4b;
  if (zipped) return refuse('format', 'is a zip', ['accepted: a .property.json file; unpack it first']);
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return refuse('encoding', 'is not text', ['accepted: a .property.json file in UTF-8']);
  }
  const result = parseProperty(text);
  if (result.ok) return { ok: true, name, document: result.document, migratedFrom: result.migratedFrom };
  const lines = result.errors.slice(0, LINES_SHOWN).map(formatPropertyError);
  if (result.errors.length > LINES_SHOWN) lines.push(`and ${result.errors.length - LINES_SHOWN} more`);
  return refuse(result.kind, SENTENCES[result.kind], lines);
}

/** The same for a text that was pasted or fetched. */
export function openPropertyText(text: string, name = 'text'): Promise<OpenResult> {
  return openPropertyFile(Object.assign(new Blob([text], { type: 'application/json' }), { name }));
}
