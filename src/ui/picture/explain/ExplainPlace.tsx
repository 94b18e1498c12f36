import { useEffect, useRef, useState } from 'react';
import { findFixture } from '../../../editor/index.ts';
import type { PlaceReading } from '../../../worker/index.ts';
import { showQuantity } from '../../parts/quantity.ts';
import { useApp, useEditorState, useScreen } from '../../state/context.tsx';
import { figure } from '../../state/format.ts';
import { type Share, sharesOf } from './shares.ts';

/**
 * Why a place is lit as it is: a bar for each light, direct and bounced, that add up to the total. Pointing at a bar shows
 * that light alone in the picture at the same exposure; pressing it switches the light off as a trial.
 */
export default function ExplainPlace() {
  const app = useApp();
  const ref = useRef<HTMLElement>(null);
  const s = useScreen((x) => ({ place: x.explain, settled: x.settled, waits: x.settled !== x.requested, solo: x.solo }));
  const document = useEditorState((e) => e.document);
  const session = useEditorState((e) => e.session);
  const [reading, setReading] = useState<PlaceReading | 'none'>();
  const { place } = s;

  // biome-ignore lint/correctness/useExhaustiveDependencies: a newly settled field asks for a new reading
  useEffect(() => {
    if (!place || s.solo !== undefined || s.waits) return;
    let gone = false;
    void app.client.readAlong(place.from, place.direction).then((found) => {
      if (!gone) setReading(found ?? 'none');
    });
    return () => {
      gone = true;
    };
  }, [app, place, s.settled, s.solo, s.waits]);
  useEffect(() => {
    ref.current?.focus({ preventScroll: true });
    return () => app.set({ solo: undefined });
  }, [app]);

  const close = () => {
    app.set({ explain: undefined, solo: undefined });
    globalThis.document.querySelector<HTMLElement>('.stage')?.focus({ preventScroll: true });
  };
  const alone = (id: string | undefined) => {
    if (app.screen.getState().solo !== id) app.set({ solo: id });
  };
  const switchOff = (share: Share) => {
    const fixture = share.id === undefined ? undefined : findFixture(document, session.schemeId, share.id);
    if (!fixture) return;
    app.set({ solo: undefined, beforeTrial: app.screen.getState().judged?.findings });
    app.editor.beginTrial(`${share.name} off`, `explain ${share.id}`, { fixtures: { put: [{ ...fixture, on: false }] } });
  };
  const shown = reading === 'none' || reading === undefined ? undefined : reading;
  const parts = shown && sharesOf(document, session.schemeId, shown.light);
  const most = Math.max(1e-9, ...(parts?.lines ?? []).map((line) => line.directLx + line.bouncedLx));
  return (
    <section
      ref={ref}
      className="explain panel"
      aria-label="Explain this place"
      tabIndex={-1}
      onPointerLeave={() => alone(undefined)}
    >
      <header className="plate-head">
        <h2>Explain this place</h2>
        <button type="button" onClick={close}>
          Close
        </button>
      </header>
      {reading === 'none' && <p>Sky: no surface there.</p>}
      {shown && parts && (
        <>
          <p>
            <strong>{figure(parts.totalLx)} lx</strong> on {shown.materialLabel},{' '}
            {showQuantity(shown.aboveGroundM, 'm', session.lengthSystem)} up{session.trial ? ', on trial' : ''}
          </p>
          <ul className="shares" aria-label="Share of each light">
            {parts.lines.map((line) => (
              <li key={line.name}>
                <Bar
                  line={line}
                  most={most}
                  own={findFixture(document, session.schemeId, line.id ?? '') !== undefined}
                  onAlone={alone}
                  onOff={switchOff}
                />
              </li>
            ))}
          </ul>
          <p className="second small">
            Solid: direct. Outlined: bounced. Point at a light to see it alone; press to switch it off as a trial. The lines add
            up to the total.
          </p>
        </>
      )}
      {!reading && <p className="second">Reading.</p>}
    </section>
  );
}

interface BarProps {
  line: Share;
  most: number;
  /** A light of this scheme, which a press may switch off. */
  own: boolean;
  onAlone(id: string | undefined): void;
  onOff(line: Share): void;
}

function Bar({ line, most, own, onAlone, onOff }: BarProps) {
  const inside = (
    <>
      <span className="share-name">{line.name}</span>
      <span className="share-figure">{figure(line.shownLx)} lx</span>
      <svg className="share-bar" viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true">
        <rect className="direct" x="0" y="0" width={(100 * Math.max(0, line.directLx)) / most} height="6" />
        <rect
          className="bounced"
          x={(100 * Math.max(0, line.directLx)) / most}
          y="0.5"
          width={(100 * Math.max(0, line.bouncedLx)) / most}
          height="5"
        />
      </svg>
    </>
  );
  if (line.id === undefined) return <div className="share">{inside}</div>;
  const spoken = `${line.name}, ${figure(line.shownLx)} lux: ${figure(line.directLx)} direct, ${figure(line.bouncedLx)} bounced`;
  return (
    <button
      type="button"
      className="share"
      aria-label={own ? `${spoken}. Switch it off as a trial` : spoken}
      aria-disabled={!own}
      onPointerEnter={(event) => event.pointerType === 'mouse' && onAlone(line.id)}
      onFocus={(event) => event.currentTarget.matches(':focus-visible') && onAlone(line.id)}
      onBlur={() => onAlone(undefined)}
      onClick={() => own && onOff(line)}
    >
      {inside}
    </button>
  );
}
