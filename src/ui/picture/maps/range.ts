import { type BandScale, luminanceBands, luxBands, MAX_BAND_SHIFT, shiftBands } from '../../../exposure/index.ts';
import type { App } from '../../state/app.ts';

export type MapKind = 'lux' | 'luminance';

export const scaleOf = (map: MapKind, shift: number): BandScale => shiftBands(map === 'lux' ? luxBands : luminanceBands, shift);

/** Moves the whole range of a map, within two decades each way. */
export function setShift(app: App, map: MapKind, wanted: number): void {
  const { maps } = app.editor.store.getState().session;
  const shift = Math.max(-MAX_BAND_SHIFT, Math.min(MAX_BAND_SHIFT, wanted));
  if (shift === maps[map].shift) return;
  app.editor.session({ maps: { ...maps, [map]: { ...maps[map], shift } } });
  const { edges, unit } = scaleOf(map, shift);
  app.say(`Bands from ${edges[0]} to ${edges[edges.length - 1]} ${unit}`);
}

/** Shows one band alone; the same again shows all. */
export function toggleBand(app: App, map: MapKind, band: number): void {
  const { maps } = app.editor.store.getState().session;
  const only = maps[map].only === band ? undefined : band;
  app.editor.session({ maps: { ...maps, [map]: { ...maps[map], only } } });
}
