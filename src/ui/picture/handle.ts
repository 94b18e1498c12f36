import type { NightPictureHandle } from '../../view/index.ts';

/** Shared by the picture, its overlays and the export; null until the first drawing. */
export interface PictureHandleRef {
  current: NightPictureHandle | null;
}
