import { lazy, Suspense } from 'react';
import type { PlaceReading } from '../../worker/index.ts';
import { useEditorState, useScreen } from '../state/context.tsx';
import { percent } from '../state/format.ts';

const MapLegend = lazy(() => import('./maps/MapLegend.tsx'));
const MapFigures = lazy(() => import('./maps/MapFigures.tsx'));

interface LegendProps {
  width: number;
  height: number;
  /** What the reading slip shows now, marked on the scale. */
  reading: PlaceReading | undefined;
}

/** Bands of the false-colour map with the figures of their edges, and the clipped share when marked. */
export function Legend({ width, height, reading }: LegendProps) {
  const session = useEditorState((s) => s.session);
  const clipped = useScreen((s) => s.clippedShare);
  const map = session.falseColour;
  return (
    <>
      {map !== 'off' && height > 0 && (
        <Suspense fallback={null}>
          <MapFigures map={map} width={width} height={height} />
          <MapLegend map={map} width={width} height={height} reading={reading} />
        </Suspense>
      )}
      {session.markClipped && map === 'off' && (
        <p className="clipped-note" role="status">
          {percent(clipped, 1)} of the picture at the white limit of EV {session.ev100.toFixed(1)}
        </p>
      )}
    </>
  );
}
