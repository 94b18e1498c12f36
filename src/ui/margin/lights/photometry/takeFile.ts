import { findFixture, findLamp, freeId, lightLabel, putFixtureInto } from '../../../../editor/index.ts';
import { checkPhotometrySize, lampFromPhotometry, PhotometryError, readPhotometry } from '../../../../lights/index.ts';
import type { LampRecord } from '../../../../scene/index.ts';
import { openList, selectLights, showAfter } from '../../../state/actions.ts';
import type { App } from '../../../state/app.ts';
import type { PhotometryNote } from '../../../state/photometry.ts';

/** A drop counts for a light whose place lies this near, screen pixels. */
const NEAR_PX = 44;

/** Id of the light whose place in the picture is nearest to a point of it, or undefined. */
export function nearestLight(app: App, at: { x: number; y: number }): string | undefined {
  const { document } = app.editor.store.getState();
  let best: { id: string; px: number } | undefined;
  for (const { id, at: place } of [...app.editor.scheme().fixtures, ...document.existing]) {
    const p = app.picture.current?.project(place);
    if (!p?.inFront) continue;
    const px = Math.hypot(p.xPx - at.x, p.yPx - at.y);
    if (px <= NEAR_PX && (!best || px < best.px)) best = { id, px };
  }
  return best?.id;
}

/**
 * Reads a photometric file and puts it on a light as a new lamp of the catalogue: one undo step. A file that cannot be read
 * changes nothing and says why.
 */
export async function takeFile(app: App, lightId: string, file: File): Promise<void> {
  try {
    checkPhotometrySize(file.size);
    const read = readPhotometry(new Uint8Array(await file.arrayBuffer()), file.name);
    const { document, session } = app.editor.store.getState();
    const fixture = findFixture(document, session.schemeId, lightId);
    const before = fixture && findLamp(document, fixture.lampId);
    if (!fixture || !before) return tell(app, lightId, file, true, ['This light has no lamp to put the file on.']);
    if (fixture.locks.lamp) return tell(app, lightId, file, true, ['Its lamp is locked.']);
    const { lamps } = document.catalogue;
    const id = freeId(
      'lamp-file-',
      lamps.map((lamp) => lamp.id),
    );
    const { lamp, notes } = lampFromPhotometry(read, id, before, file.name);
    const known = lamps.find((old) => sameLamp(old, lamp));
    const label = `photometric file on ${lightLabel(document, session.schemeId, lightId)}`;
    app.editor.edit(label, (d) => {
      const stocked = known ? d : { ...d, catalogue: { ...d.catalogue, lamps: [...d.catalogue.lamps, lamp] } };
      return putFixtureInto(stocked, session.schemeId, { ...fixture, lampId: known?.id ?? lamp.id });
    });
    showAfter(app);
    const declared = read.declaredFluxLm === undefined ? 'absolute photometry' : `header ${lumens(read.declaredFluxLm)}`;
    const figures = `${lumens(read.fluxLm)} by its candela, ${declared}; peak ${cd(read.peakCd)}, beam ${degrees(read.beamAngleFullDeg)}, field ${degrees(read.fieldAngleFullDeg)}.`;
    tell(app, lightId, file, false, [figures, ...notes]);
  } catch (error) {
    if (!(error instanceof PhotometryError)) throw error;
    tell(app, lightId, file, true, [`${capital(error.message)}.`, 'Nothing was changed.']);
  }
}

function tell(app: App, lightId: string, file: File, refused: boolean, lines: string[]): void {
  const photometry: PhotometryNote = { lightId, fileName: file.name, refused, lines };
  // The note stands in the light's own panel: show it.
  selectLights(app, [lightId]);
  openList(app, 'lights');
  app.set({ photometry });
  app.say(`${file.name}${refused ? ' not read' : ''}: ${lines.join(' ')}`);
}

const sameLamp = (a: LampRecord, b: LampRecord): boolean => JSON.stringify({ ...a, id: '' }) === JSON.stringify({ ...b, id: '' });
const rounded = (value: number): string => Math.round(value).toLocaleString('en-US');
const lumens = (lm: number): string => `${rounded(lm)} lm`;
const cd = (value: number): string => `${rounded(value)} cd`;
const degrees = (value: number): string => `${value.toFixed(value < 20 ? 1 : 0)}°`;
const capital = (sentence: string): string => sentence.charAt(0).toUpperCase() + sentence.slice(1).replace(/\.$/, '');
