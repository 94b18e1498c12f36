import { lazy, Suspense, useEffect } from 'react';
import { Margin } from './margin/Margin.tsx';
import { PictureRegion } from './picture/PictureRegion.tsx';
import { openList } from './state/actions.ts';
import { useApp, useEditorState, useScreen } from './state/context.tsx';
import { useGlobalKeys } from './state/keys.ts';
import { Strip } from './strip/Strip.tsx';
import { TopLine } from './top/TopLine.tsx';
import { Tour } from './top/Tour.tsx';

const Help = lazy(() => import('./top/Help.tsx'));
const FindOrDo = lazy(() => import('./top/FindOrDo.tsx'));
const Start = lazy(() => import('./top/Start.tsx'));
const ShowToClient = lazy(() => import('./client/ShowToClient.tsx'));
const History = lazy(() => import('./top/History.tsx'));
const FileTrouble = lazy(() => import('./top/FileTrouble.tsx'));

/** Writes screen choices to the root element through CSSOM, where the style sheets read them. */
function useRootStyle(): void {
  const s = useScreen((state) => ({
    colours: state.colours,
    textPercent: state.textPercent,
    lessMotion: state.lessMotion,
  }));
  useEffect(() => {
    const root = document.documentElement;
    root.dataset.colours = s.colours;
    root.dataset.motion = s.lessMotion ? 'less' : 'system';
    root.style.setProperty('--scale', String(s.textPercent / 100));
  }, [s.colours, s.lessMotion, s.textPercent]);
}

export function AppFrame() {
  const app = useApp();
  const s = useScreen((state) => ({
    marginPx: state.marginPx,
    folded: state.marginFolded,
    leftHand: state.leftHand,
    dim: state.dimPercent,
    overlay: state.overlay,
    polite: state.polite,
    assertive: state.assertive,
    tour: state.tourStep,
    phonePicture: state.phonePictureHeight,
    fileTrouble: state.fileTrouble,
  }));
  const name = useEditorState((e) => e.document.name);
  useRootStyle();
  useGlobalKeys(app);
  useEffect(() => {
    document.title = `${name}, Gloaming`;
  }, [name]);
  const widths = {
    '--margin-width': `${s.marginPx}px`,
    '--margin-chosen': `${s.marginPx}px`,
    '--phone-picture': `${s.phonePicture}px`,
  } as React.CSSProperties;
  return (
    <>
      <button
        type="button"
        className="skip"
        onClick={() => {
          openList(app, 'lights');
          requestAnimationFrame(() =>
            document.querySelector<HTMLElement>('.margin [role="option"], .margin .list-head button')?.focus(),
          );
        }}
      >
        To the list of lights
      </button>
      <div className="app" data-folded={s.folded} data-left-hand={s.leftHand} style={widths}>
        <TopLine />
        <PictureRegion />
        <Strip />
        <Margin />
      </div>
      {s.tour !== undefined && s.overlay === 'none' && <Tour />}
      <Suspense fallback={null}>
        {s.overlay === 'help' && <Help />}
        {s.overlay === 'history' && <History />}
        {s.overlay === 'find' && <FindOrDo />}
        {s.overlay === 'start' && <Start />}
        {s.overlay === 'client' && <ShowToClient />}
        {s.fileTrouble && <FileTrouble />}
      </Suspense>
      {s.dim < 100 && <div className="dimmer" style={{ opacity: 1 - s.dim / 100 }} aria-hidden="true" />}
      <div className="spoken" aria-live="polite" role="status">
        {s.polite}
      </div>
      <div className="spoken" aria-live="assertive" role="alert">
        {s.assertive}
      </div>
    </>
  );
}
