import { type KeyboardEvent, type PointerEvent, useEffect, useMemo, useRef, useState } from 'react';
import { BAND_RAMP, type BandScale, bandHeight, bandWords, MAX_BAND_SHIFT } from '../../../exposure/index.ts';
import type { PlaceReading } from '../../../worker/index.ts';
import { useApp, useEditorState } from '../../state/context.tsx';
import { figure } from '../../state/format.ts';
import { type LimitMark, limitMarks } from './limits.ts';
import { type MapKind, scaleOf, setShift, toggleBand } from './range.ts';
import './maps.css';

const BANDS = BAND_RAMP.length;
/** Room that toolbar, foot line, title and slider take. */
const TAKEN_PX = 250;
/** Below this height the range's buttons stand beside the scale, not under it. */
const SHORT_PX = 430;
/** Below this width limits are ticked without words, and the range has buttons alone. */
const NARROW_PX = 600;

/**
 * The bands of a map with their edges, the limits of findings, and the value under the pointer. A press on a band shows it
 * alone; the range moves by slider, buttons or `[` and `]`.
 */
export default function MapLegend(props: { map: MapKind; width: number; height: number; reading: PlaceReading | undefined }) {
  const { map, width, height, reading } = props;
  const range = useEditorState((s) => s.session.maps[map]);
  const document = useEditorState((s) => s.document);
  const scale = scaleOf(map, range.shift);
  const short = height < SHORT_PX;
  const narrow = width < NARROW_PX;
  const bandPx = Math.max(13, Math.min(26, Math.floor((height - (short ? 136 : TAKEN_PX)) / BANDS)));
  const yOf = (value: number): number => (BANDS - bandHeight(value, scale)) * bandPx;
  const limits = useMemo(() => limitMarks(document, map), [document, map]);
  const inRange = limits.filter((l) => l.value >= scale.edges[0]! && l.value <= scale.edges[scale.edges.length - 1]!);
  const value = reading && (map === 'lux' ? reading.light.totalLx : reading.luminanceCdM2);
  useRangeKeys(map, range.shift);
  const keep = (event: PointerEvent) => event.stopPropagation();
  const words = map === 'lux' ? 'Lux map' : 'Luminance map';
  return (
    <figure
      className="legend"
      data-short={short}
      data-narrow={narrow}
      aria-label={`${words}, ${scale.unit}${map === 'lux' ? '' : ', dashed edges'}`}
      onPointerMove={keep}
      onPointerDown={keep}
    >
      <figcaption>
        {narrow ? `${map === 'lux' ? 'Lux' : 'Luminance'}, ${scale.unit}` : `${words}, ${scale.unit}`}
        <span className={narrow ? 'spoken' : 'second'}> Lights of the scheme with sky and windows</span>
      </figcaption>
      <div className="map-scale" style={{ height: BANDS * bandPx }}>
        <Bands map={map} only={range.only} scale={scale} bandPx={bandPx} />
        <Marks scale={scale} limits={inRange} bandPx={bandPx} yOf={yOf} narrow={narrow} />
        {value !== undefined && (
          <p className="map-value" style={{ top: yOf(value) }}>
            {figure(value)}
          </p>
        )}
      </div>
      {inRange.length > 0 && (
        <p className="spoken">Limits of findings: {inRange.map((l) => l.spoken).join('; ')}. A map judges nothing by itself.</p>
      )}
      <RangeControls map={map} shift={range.shift} text={`${scale.edges[0]} to ${scale.edges[BANDS - 2]} ${scale.unit}`} />
    </figure>
  );
}

/** Figures of the edges, with the findings that begin there; limits between two edges carry a figure of their own. */
function Marks(props: { scale: BandScale; limits: LimitMark[]; bandPx: number; narrow: boolean; yOf(value: number): number }) {
  const { scale, limits, bandPx, narrow, yOf } = props;
  const rows = scale.edges.map((edge) => ({ value: edge, words: limits.find((l) => l.value === edge)?.words ?? '' }));
  const between = limits.filter((l) => !scale.edges.includes(l.value));
  const wordsOf = (words: string) => words && !narrow && <tspan dx="6">{words}</tspan>;
  const longest = narrow
    ? 4
    : Math.max(...rows.map((r) => `${r.value} ${r.words}`.length), ...between.map((l) => l.words.length + 9));
  return (
    <svg className="map-marks" width={16 + longest * 6.6} height={BANDS * bandPx} aria-hidden="true">
      {rows.map(({ value, words }) => (
        <g key={value} className={words && 'limit'}>
          <line x1="0" x2="6" y1={yOf(value)} y2={yOf(value)} />
          <text x="10" y={yOf(value)} dy="0.35em">
            {value}
            {wordsOf(words)}
          </text>
        </g>
      ))}
      {between.map((l) => (
        <g key={l.value} className="limit">
          <line x1="0" x2={narrow ? 8 : 38} y1={yOf(l.value)} y2={yOf(l.value)} />
          {!narrow && (
            <text x="42" y={yOf(l.value)} dy="0.35em">
              {l.value}
              {wordsOf(l.words)}
            </text>
          )}
        </g>
      ))}
    </svg>
  );
}

/** Twelve bands under one tab stop; arrows walk them. */
function Bands(props: { map: MapKind; only: number | undefined; scale: BandScale; bandPx: number }) {
  const app = useApp();
  const [at, setAt] = useState(BANDS - 1);
  const ref = useRef<HTMLDivElement>(null);
  const onKeyDown = (event: KeyboardEvent) => {
    const by = event.key === 'ArrowUp' ? 1 : event.key === 'ArrowDown' ? -1 : 0;
    const next = event.key === 'Home' ? BANDS - 1 : event.key === 'End' ? 0 : Math.max(0, Math.min(BANDS - 1, at + by));
    if (next === at) return;
    event.preventDefault();
    setAt(next);
    ref.current?.querySelector<HTMLElement>(`[data-band="${next}"]`)?.focus();
  };
  return (
    // biome-ignore lint/a11y/useSemanticElements: a group of toggles, not of form fields
    <div
      ref={ref}
      className="map-bands"
      role="group"
      aria-label="Bands, one pressed is shown alone"
      data-dashed={props.scale.edgeLine === 'dashed'}
      onKeyDown={onKeyDown}
    >
      {BAND_RAMP.map((colour, i) => (
        <button
          key={colour}
          type="button"
          className="band"
          data-band={i}
          tabIndex={i === at ? 0 : -1}
          aria-pressed={props.only === i}
          aria-label={bandWords(i, props.scale)}
          title={bandWords(i, props.scale)}
          style={{ height: props.bandPx, background: colour }}
          data-off={props.only !== undefined && props.only !== i}
          onFocus={() => setAt(i)}
          onClick={() => toggleBand(app, props.map, i)}
        />
      )).reverse()}
    </div>
  );
}

function RangeControls({ map, shift, text }: { map: MapKind; shift: number; text: string }) {
  const app = useApp();
  return (
    <div className="map-range">
      <button type="button" aria-label="Range one band down" title="[" onClick={() => setShift(app, map, shift - 1)}>
        [
      </button>
      <input
        type="range"
        aria-label="Range of the map"
        aria-valuetext={text}
        min={-MAX_BAND_SHIFT}
        max={MAX_BAND_SHIFT}
        step={1}
        value={shift}
        onChange={(event) => setShift(app, map, Number(event.target.value))}
      />
      <button type="button" aria-label="Range one band up" title="]" onClick={() => setShift(app, map, shift + 1)}>
        ]
      </button>
    </div>
  );
}

/** `[` and `]` while the picture, or its legend, has focus. */
function useRangeKeys(map: MapKind, shift: number): void {
  const app = useApp();
  useEffect(() => {
    const key = (event: globalThis.KeyboardEvent) => {
      const by = event.key === '[' ? -1 : event.key === ']' ? 1 : 0;
      if (by === 0 || event.ctrlKey || event.metaKey || !app.screen.getState().singleKeys) return;
      const here = globalThis.document.activeElement;
      if (!here?.matches('.stage, .legend *')) return;
      setShift(app, map, shift + by);
      event.preventDefault();
    };
    window.addEventListener('keydown', key);
    return () => window.removeEventListener('keydown', key);
  }, [app, map, shift]);
}
