import type { SceneModel } from '../scene/index.ts';
import type { GlbNote } from './massingGlb.ts';

/** Fixed time in archives (the earliest a ZIP can hold), so that the same set twice is the same bytes. */
const ARCHIVE_TIME = new Date(1980, 0, 1);

/** The massing as binary glTF 2.0; the writer is fetched when asked for. */
export async function massingGlb(scene: SceneModel, note: GlbNote): Promise<Blob> {
  const writer = await import('./massingGlb.ts');
  return writer.massingGlb(scene, note);
}

/** Files in one ZIP, stored as they are (pictures are packed already); equal files give equal bytes. */
export async function zipOf(files: readonly { name: string; bytes: Uint8Array }[]): Promise<Blob> {
  const { zipSync } = await import('fflate');
  const entries = Object.fromEntries(files.map(({ name, bytes }) => [name, bytes]));
  return new Blob([zipSync(entries, { level: 0, mtime: ARCHIVE_TIME }) as Uint8Array<ArrayBuffer>], { type: 'application/zip' });
}
