import { useEffect, useMemo, useState } from 'react';
import type { Survey } from '../../../view/index.ts';
import { useApp, useEditorState, useScreen } from '../../state/context.tsx';
import { edgeFigures } from './contours.ts';
import { type MapKind, scaleOf } from './range.ts';
import './maps.css';

const STILL_MS = 220;
const PX_A_SAMPLE = 4;

interface Taken {
  survey: Survey;
  camera: unknown;
  map: MapKind;
}

/** Figures of the band edges, written along them once the picture stands still. */
export default function MapFigures({ map, width, height }: { map: MapKind; width: number; height: number }) {
  const app = useApp();
  const camera = useEditorState((s) => s.session.camera);
  const range = useEditorState((s) => s.session.maps[map]);
  const s = useScreen((x) => ({ settled: x.settled, waits: x.settled !== x.requested, side: x.compare === 'side' }));
  const [taken, setTaken] = useState<Taken>();

  // biome-ignore lint/correctness/useExhaustiveDependencies: a newly settled field asks for a new survey
  useEffect(() => {
    if (s.waits) return;
    let gone = false;
    const timer = setTimeout(async () => {
      const survey = await app.picture.current?.survey(map, Math.max(64, Math.round(width / PX_A_SAMPLE)));
      if (survey && !gone) setTaken({ survey, camera, map });
    }, STILL_MS);
    return () => {
      gone = true;
      clearTimeout(timer);
    };
  }, [app, map, camera, width, height, s.settled, s.waits]);

  const figures = useMemo(() => {
    if (!taken || taken.camera !== camera || taken.map !== map) return [];
    const { edges } = scaleOf(map, range.shift);
    const { only } = range;
    const shown = only === undefined ? edges : edges.filter((_, i) => i === only - 1 || i === only);
    return edgeFigures(taken.survey, shown, { width, height, top: 60, bottom: 48, left: width < 600 ? 120 : 210 });
  }, [taken, camera, map, range, width, height]);

  if (s.side) return null;
  return (
    <svg className="map-figures" width={width} height={height} aria-hidden="true">
      {figures.map((f) => (
        <text key={`${f.value} ${f.x} ${f.y}`} transform={`translate(${f.x} ${f.y}) rotate(${f.angleDeg})`} dy="0.35em">
          {f.value}
        </text>
      ))}
    </svg>
  );
}
