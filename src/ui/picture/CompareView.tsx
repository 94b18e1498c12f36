import { type KeyboardEvent, type PointerEvent, useEffect, useState } from 'react';
import { captionOf } from '../state/caption.ts';
import { otherName } from '../state/compare.ts';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';
import { followPointer } from './gesture.ts';
import { clampTo } from './lines.tsx';
import { takeOtherStill } from './still.ts';

/**
 * Wipe or side by side: the other side is a still of the same picture component at the same camera, exposure and hour,
 * taken again whenever one of these changes.
 */
export function CompareView({ width, height }: { width: number; height: number }) {
  const app = useApp();
  const s = useScreen((x) => ({
    compare: x.compare,
    against: x.compareWith,
    percent: x.wipePercent,
    settled: x.settled === x.requested,
  }));
  const property = useEditorState((e) => e.document);
  const session = useEditorState((e) => e.session);
  const [url, setUrl] = useState<string>();
  const names = otherName(property, session, s.against);

  // biome-ignore lint/correctness/useExhaustiveDependencies: whatever changes the other side's picture asks for a new still
  useEffect(() => {
    const abort = new AbortController();
    const timer = setTimeout(() => {
      void takeOtherStill(app, width, height, abort.signal).then((bytes) => {
        if (bytes && !abort.signal.aborted) setUrl(URL.createObjectURL(new Blob([bytes], { type: 'image/png' })));
      });
    }, 250);
    return () => {
      clearTimeout(timer);
      abort.abort();
    };
  }, [
    app,
    s.against,
    property,
    session.camera,
    session.conditions,
    session.ev100,
    session.schemeId,
    session.after,
    width,
    height,
  ]);
  useEffect(() => () => (url === undefined ? undefined : URL.revokeObjectURL(url)), [url]);

  const put = (percent: number) => app.set({ wipePercent: clampTo(percent, 0, 100) });
  const onKeyDown = (event: KeyboardEvent) => {
    const steps: Record<string, number> = { ArrowLeft: -1, ArrowRight: 1, PageUp: 10, PageDown: -10, Home: -100, End: 100 };
    const step = steps[event.key];
    if (step === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    put(s.percent + step);
  };
  const onPointerDown = (event: PointerEvent) => {
    event.stopPropagation();
    const before = s.percent;
    followPointer(event, {
      onMove: (dx) => put(before + (dx / width) * 100),
      onEnd: () => undefined,
      onCancel: () => put(before),
    });
  };
  const caption = captionOf(app);
  if (s.compare === 'side') {
    return (
      <div className="side-by-side" role="img" aria-label={caption}>
        {url && <img src={url} alt="" width={width} height={height} style={{ width, height, left: -width / 4 }} />}
        <p className="compare-caption">{url ? caption : `Taking the picture of ${names.other}`}</p>
      </div>
    );
  }
  return (
    <>
      {url && (
        <div className="wipe-other" style={{ width: `${s.percent}%` }}>
          <img src={url} alt="" style={{ width, height }} />
        </div>
      )}
      <div
        className="wipe-divider"
        role="slider"
        tabIndex={0}
        aria-label="Wipe"
        aria-valuenow={Math.round(s.percent)}
        aria-valuemin={0}
        aria-valuemax={100}
        aria-valuetext={`${Math.round(s.percent)} % ${names.other}`}
        style={{ left: `${s.percent}%` }}
        onKeyDown={onKeyDown}
        onPointerDown={onPointerDown}
      />
      <p className="compare-caption">{url ? caption : `Taking the picture of ${names.other}`}</p>
    </>
  );
}
