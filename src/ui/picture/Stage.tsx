import { lazy, Suspense, useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { resolveSources } from '../../lights/index.ts';
import type { PlaceReading } from '../../worker/index.ts';
import { NightPicture } from '../../view/index.ts';
import { fileDrop } from '../parts/fileDrop.ts';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';
import { countSeverities } from '../state/letters.ts';
import { dropPhotometry } from '../state/photometry.ts';
import { shownDocument, shownSide } from '../state/shown.ts';
import { AddByList } from './AddByList.tsx';
import { CompareView } from './CompareView.tsx';
import { Legend } from './Legend.tsx';
import { Overlay } from './Overlay.tsx';
import { ReadingSlip } from './ReadingSlip.tsx';
import { useSolvedVolts } from './useSolvedVolts.ts';
import { useStageInput } from './useStageInput.ts';

const DazzleMap = lazy(() => import('./dazzle/DazzleMap.tsx'));
const ExplainPlace = lazy(() => import('./explain/ExplainPlace.tsx'));

/** The night picture with everything that lies over it. The canvas is hidden from assistive technology; the stage speaks. */
export function Stage() {
  const ref = useRef<HTMLDivElement>(null);
  const app = useApp();
  const [size, setSize] = useState({ width: 0, height: 0 });
  const [reading, setReading] = useState<PlaceReading>();
  const session = useEditorState((s) => s.session);
  const view = useEditorState((s) => s.document.viewpoints.find((v) => v.id === s.session.viewpointId)?.name ?? 'free view');
  const s = useScreen((x) => ({
    mode: x.mode,
    held: x.held,
    crosshair: x.crosshair,
    colours: x.colours,
    compare: x.compare,
    trouble: x.pictureTrouble,
    explain: x.explain !== undefined,
    dazzle: x.dazzleLight !== undefined,
  }));
  const input = useStageInput(ref);

  useEffect(() => {
    const stage = ref.current;
    if (!stage) return;
    const watch = new ResizeObserver(() => setSize({ width: stage.clientWidth, height: stage.clientHeight }));
    watch.observe(stage);
    return () => watch.disconnect();
  }, []);

  const after = s.held ? 'Compared side' : session.after ? 'After' : 'Before';
  return (
    <div
      ref={ref}
      className="stage"
      data-mode={s.mode}
      data-compare={s.compare}
      role="application"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: the picture is worked by keys, role application
      tabIndex={0}
      aria-label={`Night picture, ${view}, ${after}`}
      aria-describedby="stage-words"
      {...input.handlers}
      {...fileDrop((file, event) => dropPhotometry(app, file, event))}
    >
      <div className="canvas" aria-hidden="true" data-red={s.colours === 'red'}>
        <Drawing />
      </div>
      <StageWords />
      {size.width > 0 && <Overlay width={size.width} height={size.height} ghost={input.ghost} />}
      {size.width > 0 && s.compare !== 'off' && <CompareView width={size.width} height={size.height} />}
      <Legend width={size.width} height={size.height} reading={reading} />
      <ReadingSlip rest={input.rest} width={size.width} height={size.height} onReading={setReading} />
      {s.mode === 'addByList' && <AddByList />}
      {s.dazzle && size.width > 0 && s.compare !== 'side' && (
        <Suspense fallback={null}>
          <DazzleMap width={size.width} height={size.height} />
        </Suspense>
      )}
      {s.explain && (
        <Suspense fallback={null}>
          <ExplainPlace />
        </Suspense>
      )}
      {s.trouble && <p className="trouble">{s.trouble}</p>}
    </div>
  );
}

/** The picture itself, fed with what the worker was asked to show. */
function Drawing() {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const session = useEditorState((s) => s.session);
  const side = useScreen((s) => ({ held: s.held, compareWith: s.compareWith, solo: s.solo, byHours: s.byHours }));
  const { schemeId, after } = shownSide(session, side);
  const { conditions } = session;
  const shown = useMemo(() => shownDocument(document, schemeId, conditions, side), [document, schemeId, conditions, side]);
  const red = useScreen((s) => s.colours === 'red');
  const range = session.falseColour === 'off' ? undefined : session.maps[session.falseColour];
  const map = useMemo(() => range && { ...range, linesOnly: red }, [range, red]);
  const volts = useSolvedVolts(document, schemeId);
  const lights = useMemo(
    () =>
      resolveSources(shown, schemeId, { after, dirt: 'asShown', volts }).map(({ fixture, lamp, weight }) => ({
        fixture,
        lamp,
        weight,
      })),
    [shown, schemeId, after, volts],
  );
  const onDrawn = useCallback(
    (info: { clippedShare: number }) => app.set({ drawn: app.screen.getState().drawn + 1, clippedShare: info.clippedShare }),
    [app],
  );
  const onTrouble = useCallback((pictureTrouble: string | undefined) => app.set({ pictureTrouble }), [app]);
  return (
    <NightPicture
      ref={app.picture}
      client={app.client}
      camera={session.camera}
      ev100={session.ev100}
      conditions={session.conditions}
      surroundings={document.site.surroundings}
      lights={lights}
      falseColour={session.falseColour}
      map={map}
      adaptedCdM2={session.adaptedCdM2}
      markClipped={session.markClipped}
      onDrawn={onDrawn}
      onTrouble={onTrouble}
    />
  );
}

/** Text kept true for those who hear the picture. */
function StageWords() {
  const scheme = useEditorState((s) => s.document.schemes.find((x) => x.id === s.session.schemeId));
  const judged = useScreen((s) => s.judged);
  const on = scheme?.fixtures.filter((f) => f.on && f.dim > 0).length ?? 0;
  const counts = judged ? countSeverities(judged.findings) : undefined;
  const found = counts ? `${counts.stop} Stop, ${counts.warn} Warn, ${counts.note} Note.` : 'Not judged yet.';
  const gap = judged?.findings.find((f) => f.kind === 'darkGap' || f.kind === 'darkSide');
  const hot = judged?.findings.find((f) => f.kind === 'hotSpot');
  return (
    <p id="stage-words" className="spoken">
      {`${on} lights on. ${hot ? `${hot.message} ` : ''}${gap ? `${gap.message} ` : ''}${found} Arrows look around, N walks the lights, F walks the findings, A adds a light, C reads a place, question mark opens help.`}
    </p>
  );
}
