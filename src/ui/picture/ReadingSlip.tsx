import { useEffect, useRef, useState } from 'react';
import { lightLabel } from '../../editor/index.ts';
import type { PlaceReading } from '../../worker/index.ts';
import { showQuantity } from '../parts/quantity.ts';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';
import { figure, illuminance } from '../state/format.ts';
import { clampTo } from './lines.tsx';
import type { Rest } from './useStageInput.ts';

interface Shown {
  reading: PlaceReading;
  xPx: number;
  yPx: number;
}

/** What lands under the pointer: lux, cd/m², material, height, and who sent it. The lines add up to the total. */
export function ReadingSlip(props: {
  rest: Rest | undefined;
  width: number;
  height: number;
  onReading(reading: PlaceReading | undefined): void;
}) {
  const { rest, width, height, onReading } = props;
  const app = useApp();
  const s = useScreen((x) => ({ cross: x.crosshair, settled: x.settled, mode: x.mode, compare: x.compare }));
  const camera = useEditorState((e) => e.session.camera);
  const [shown, setShown] = useState<Shown>();
  const [pinned, setPinned] = useState(false);
  const crossX = s.cross && (s.cross.xPx < 0 ? width / 2 : s.cross.xPx);
  const crossY = s.cross && (s.cross.yPx < 0 ? height / 2 : s.cross.yPx);
  const x = crossX ?? rest?.xPx;
  const y = crossY ?? rest?.yPx;
  const asked = x !== undefined && y !== undefined && s.mode === 'rest' && s.compare !== 'side';

  // biome-ignore lint/correctness/useExhaustiveDependencies: camera and a newly settled field ask for a new reading
  useEffect(() => {
    if (!asked) {
      if (!pinned) setShown(undefined);
      return;
    }
    let gone = false;
    const ray = app.picture.current?.ray(x, y);
    if (ray) {
      void app.client.readAlong(ray.from, ray.direction).then((reading) => {
        if (gone) return;
        setShown(reading && { reading, xPx: x, yPx: y });
        if (reading && s.cross)
          app.say(
            `${figure(reading.light.totalLx)} lux, ${figure(reading.luminanceCdM2)} candela a square metre, ${reading.materialLabel}`,
          );
      });
    }
    return () => {
      gone = true;
    };
  }, [app, asked, x, y, s.settled, camera]);

  useEffect(() => onReading(shown?.reading), [shown, onReading]);

  const explain = () => {
    const ray = shown && app.picture.current?.ray(shown.xPx, shown.yPx);
    if (!ray) return;
    setPinned(false);
    app.set({ explain: ray, crosshair: undefined });
  };
  const keys = useRef<Record<string, () => void>>({});
  keys.current = { r: () => setPinned((p) => !p), e: explain };
  useEffect(() => {
    const key = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || !(document.activeElement?.classList.contains('stage') ?? false)) return;
      if (app.screen.getState().singleKeys) keys.current[event.key.toLowerCase()]?.();
    };
    window.addEventListener('keydown', key);
    return () => window.removeEventListener('keydown', key);
  }, [app]);

  if (!shown) return null;
  const left = clampTo(shown.xPx + 18 > width - 236 ? shown.xPx - 250 : shown.xPx + 18, 4, width - 236);
  const top = clampTo(shown.yPx + 18 > height - 230 ? shown.yPx - 240 : shown.yPx + 18, 62, Math.max(62, height - 250));
  return (
    <section className="slip" style={{ left, top }} aria-label="Reading">
      <SlipLines reading={shown.reading} />
      <div className="buttons">
        <button type="button" onClick={explain}>
          Explain this place
        </button>
        {pinned && (
          <button type="button" onClick={() => setPinned(false)}>
            Unpin
          </button>
        )}
      </div>
    </section>
  );
}

/** Lines of one reading; also used by *Read a place*. */
export function SlipLines({ reading }: { reading: PlaceReading }) {
  const document = useEditorState((s) => s.document);
  const session = useEditorState((s) => s.session);
  const settling = useScreen((x) => x.settled !== x.requested);
  const { light } = reading;
  const u = session.lightUnit;
  const sources = [...light.bySource].filter((b) => b.directLx > 0.0005).sort((a, b) => b.directLx - a.directLx);
  const top = sources.slice(0, 3);
  const rest = sources.slice(3).reduce((sum, b) => sum + b.directLx, 0);
  const lines: [string, number][] = [
    ...top.map((b): [string, number] => [lightLabel(document, session.schemeId, b.id), b.directLx]),
    ...(rest > 0.0005 ? [['other lights', rest] as [string, number]] : []),
    ['bounced', light.bouncedLx],
    ['sky', light.skyLx],
    ['windows', light.windowsLx],
  ];
  return (
    <>
      <p className="slip-total">
        {settling && 'about '}
        {illuminance(light.totalLx, u)} <span className="second">{figure(reading.luminanceCdM2)} cd/m²</span>
      </p>
      <p className="second small">
        {reading.materialLabel}, {showQuantity(reading.aboveGroundM, 'm', session.lengthSystem)} up
        {reading.clipped && ', at the white limit of this picture'}
      </p>
      <dl>
        {lines.map(([name, lx]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{illuminance(lx, u)}</dd>
          </div>
        ))}
      </dl>
    </>
  );
}
