import { useEffect, useMemo, useState } from 'react';
import { lightLabel } from '../../../editor/index.ts';
import type { DazzleArea, DazzlePosture } from '../../../review/index.ts';
import type { Vec3 } from '../../../scene/index.ts';
import { Choice } from '../../parts/controls.tsx';
import { showQuantity } from '../../parts/quantity.ts';
import { useApp, useEditorState, useScreen } from '../../state/context.tsx';
import { figure } from '../../state/format.ts';
import { useProjection } from '../projection.ts';
import { regionOf } from './region.ts';

const WORDS: Record<DazzlePosture, string> = {
  standing: 'standing eye, 1.60 m',
  seated: 'seated eye, 1.15 m',
  lying: 'lying eye, 0.45 m',
};

/** Ground from which one light would be seen above the limit of seat glare: hatched, its edge drawn and labelled. */
export default function DazzleMap({ width, height }: { width: number; height: number }) {
  const app = useApp();
  const project = useProjection();
  const s = useScreen((x) => ({ light: x.dazzleLight, settled: x.settled, waits: x.settled !== x.requested }));
  const document = useEditorState((e) => e.document);
  const session = useEditorState((e) => e.session);
  const [posture, setPosture] = useState<DazzlePosture>('standing');
  const [area, setArea] = useState<DazzleArea | 'none'>();

  // biome-ignore lint/correctness/useExhaustiveDependencies: a newly settled field asks for a new area
  useEffect(() => {
    if (s.light === undefined || s.waits) return;
    let gone = false;
    void app.client.findDazzle(s.light).then((found) => {
      if (!gone) setArea(found ?? 'none');
    });
    return () => {
      gone = true;
    };
  }, [app, s.light, s.settled, s.waits]);

  const shown = area === 'none' || area?.lightId !== s.light ? undefined : area;
  const one = shown?.postures.find((p) => p.posture === posture);
  const region = useMemo(() => one && regionOf(one.cells, shown?.cellM ?? 0.5), [one, shown?.cellM]);
  const point = (p: Vec3) => project([p[0], p[1] + 0.02, p[2]]);
  const path = (points: Vec3[]) => {
    const spots = points.map(point);
    return spots.every((p) => p?.inFront)
      ? spots.map((p, i) => `${i ? 'L' : 'M'}${p!.x.toFixed(1)} ${p!.y.toFixed(1)}`).join('')
      : '';
  };
  const half = (shown?.cellM ?? 0.5) / 2;
  const rows = region?.rows.map(
    (r) =>
      `${path([
        [r.x0, r.y, r.z - half],
        [r.x1, r.y, r.z - half],
        [r.x1, r.y, r.z + half],
        [r.x0, r.y, r.z + half],
      ])}Z`,
  );
  const edge = region?.edge.map(([a, b]) => path([a, b])).join('');
  return (
    <>
      <svg className="dazzle-map" width={width} height={height} aria-hidden="true">
        <defs>
          <pattern id="dazzle-hatch" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <line x1="0" y1="0" x2="0" y2="8" />
          </pattern>
        </defs>
        {rows && <path className="hatch" d={rows.filter((d) => d.length > 1).join('')} />}
        {edge && <path className="edge" d={edge} />}
      </svg>
      <section className="dazzle panel" aria-label="Where it dazzles">
        <header className="plate-head">
          <h2>Where it dazzles</h2>
          <button type="button" onClick={() => app.set({ dazzleLight: undefined })}>
            Close
          </button>
        </header>
        <Choice<DazzlePosture>
          label="Seen by a"
          value={posture}
          options={Object.entries(WORDS) as [DazzlePosture, string][]}
          onChoose={setPosture}
        />
        <p aria-live="polite">
          {lightLabel(document, session.schemeId, s.light ?? '')}:{' '}
          {area === 'none'
            ? 'off, dazzles nobody.'
            : !one
              ? 'looking.'
              : one.cells.length === 0
                ? `from no ground above ${figure(shown?.limitLx ?? 0)} lx at the eye.`
                : `hatched ground sees it above ${figure(shown?.limitLx ?? 0)} lx at the eye, up to ${figure(one.worstLx)} lx, as far as ${showQuantity(one.farthestM, 'm', session.lengthSystem)}.`}
        </p>
        <p className="second small">Lens clean, whichever way the eye looks; walls, plants and shields counted.</p>
      </section>
    </>
  );
}
