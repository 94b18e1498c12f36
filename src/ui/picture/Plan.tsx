import { type PointerEvent, useEffect, useMemo, useRef, useState } from 'react';
import { lightLabel, moveLight, putFixtureInto } from '../../editor/index.ts';
import { type FixtureRecord, groundHeightAt, type PropertyDocument, type SchemeRecord, type Vec2 } from '../../scene/index.ts';
import { goToViewpoint, selectLights } from '../state/actions.ts';
import { useApp, useEditorState, useScheme } from '../state/context.tsx';
import { numberText } from '../state/lights.ts';
import { followPointer } from './gesture.ts';

const points = (outline: readonly Vec2[]): string => outline.map(([x, z]) => `${x},${z}`).join(' ');

/** Plan seen from above, street at the foot: walls, planting, lights with their aim, cables, eyes. */
export default function Plan() {
  const app = useApp();
  const ref = useRef<SVGSVGElement>(null);
  const document = useEditorState((s) => s.document);
  const session = useEditorState((s) => s.session);
  const scheme = useScheme();
  const all = useMemo(() => boundsOf(document), [document]);
  const near = useMemo(() => lightBounds(scheme) ?? all, [scheme, all]);
  const [size, setSize] = useState({ width: 600, height: 600 });
  useEffect(() => {
    const svg = ref.current;
    if (!svg) return;
    const watch = new ResizeObserver(() => setSize({ width: svg.clientWidth, height: svg.clientHeight }));
    watch.observe(svg);
    return () => watch.disconnect();
  }, []);
  const [view, setView] = useState<{ x: number; y: number; w: number; h: number }>();
  const shown = view ?? near;
  const perPixel = Math.max(shown.w / Math.max(1, size.width), shown.h / Math.max(1, size.height));
  const chosen = session.selection.kind === 'lights' ? session.selection.ids : [];
  const zoomBy = (k: number) =>
    setView({ x: shown.x + (shown.w * (1 - k)) / 2, y: shown.y + (shown.h * (1 - k)) / 2, w: shown.w * k, h: shown.h * k });

  const pan = (event: PointerEvent) => {
    if (event.button !== 0) return;
    const start = shown;
    const k = perPixel;
    followPointer(event, {
      onMove: (dx, dy) => setView({ ...start, x: start.x - dx * k, y: start.y - dy * k }),
      onEnd: (moved) => {
        if (!moved) selectLights(app, []);
      },
      onCancel: () => setView(start),
    });
  };

  const drag = (event: PointerEvent, fixture: FixtureRecord) => {
    event.stopPropagation();
    selectLights(app, event.shiftKey ? [...chosen, fixture.id] : [fixture.id]);
    if (fixture.locks.place) return;
    const matrix = ref.current?.getScreenCTM();
    if (!matrix) return;
    app.editor.beginGesture(`move ${lightLabel(document, session.schemeId, fixture.id)}`);
    const heightM = fixture.at[1] - groundHeightAt(document, fixture.at[0], fixture.at[2]);
    followPointer(event, {
      onMove: (dx, dy) => {
        const x = fixture.at[0] + dx / matrix.a;
        const z = fixture.at[2] + dy / matrix.d;
        app.editor.preview((d) =>
          putFixtureInto(d, session.schemeId, moveLight(fixture, [x, groundHeightAt(d, x, z) + heightM, z])),
        );
      },
      onEnd: () => app.editor.commitGesture(),
      onCancel: () => app.editor.cancelGesture(),
    });
  };

  const text = 13 * perPixel;
  return (
    <section className="plan" aria-label="Plan">
      <svg ref={ref} viewBox={`${shown.x} ${shown.y} ${shown.w} ${shown.h}`} onPointerDown={pan}>
        <title>{`Plan of ${document.name}, street at the foot`}</title>
        <Ground document={document} />
        <Massing document={document} />
        <Cables scheme={scheme} document={document} text={text} />
        {document.viewpoints.map((v) => (
          <g
            key={v.id}
            className="eye"
            onPointerDown={(event) => {
              event.stopPropagation();
              goToViewpoint(app, v);
            }}
          >
            <EyeArrow eye={[v.eye[0], v.eye[2]]} to={[v.lookAt[0], v.lookAt[2]]} size={text} />
            <text x={v.eye[0] + text} y={v.eye[2]} fontSize={text}>
              {v.name}
            </text>
          </g>
        ))}
        {(scheme?.fixtures ?? []).map((f) => (
          <g key={f.id} className="plan-light" data-selected={chosen.includes(f.id)} onPointerDown={(event) => drag(event, f)}>
            <line x1={f.at[0]} y1={f.at[2]} x2={f.aim[0]} y2={f.aim[2]} markerEnd="url(#aim)" />
            {chosen.includes(f.id) && <circle className="lead" cx={f.at[0]} cy={f.at[2]} r={f.leadLengthM} />}
            <circle className="hit" cx={f.at[0]} cy={f.at[2]} r={22 * perPixel} />
            <circle className="dot" cx={f.at[0]} cy={f.at[2]} r={text * 0.22} />
            <circle className="ring" cx={f.at[0]} cy={f.at[2] + text * 1.1} r={text * 0.75} />
            <text x={f.at[0]} y={f.at[2] + text * 1.45} fontSize={text} textAnchor="middle">
              {numberText(document, session.schemeId, f.id)}
            </text>
          </g>
        ))}
        <defs>
          <marker id="aim" viewBox="0 0 8 8" refX="7" refY="4" markerWidth="7" markerHeight="7" orient="auto">
            <path d="M0,0 L8,4 L0,8" className="arrow-head" />
          </marker>
        </defs>
        <ScaleBar x={shown.x + shown.w * 0.03} y={shown.y + shown.h * 0.96} text={text} />
      </svg>
      <div className="plan-tools">
        <button type="button" onClick={() => zoomBy(0.8)}>
          Nearer
        </button>
        <button type="button" onClick={() => zoomBy(1.25)}>
          Farther
        </button>
        <button type="button" onClick={() => setView(all)}>
          All
        </button>
      </div>
    </section>
  );
}

/** Opening frame: the lights with what they aim at and their transformers. */
function lightBounds(scheme: SchemeRecord | undefined): { x: number; y: number; w: number; h: number } | undefined {
  if (!scheme || scheme.fixtures.length === 0) return undefined;
  const points: Vec2[] = [
    ...scheme.fixtures.flatMap((f): Vec2[] => [
      [f.at[0], f.at[2]],
      [f.aim[0], f.aim[2]],
    ]),
    ...scheme.transformers.map((t): Vec2 => [t.at[0], t.at[2]]),
  ];
  const xs = points.map((p) => p[0]);
  const zs = points.map((p) => p[1]);
  const pad = 4;
  const x = Math.min(...xs) - pad;
  const y = Math.min(...zs) - pad;
  return { x, y, w: Math.max(...xs) - x + pad, h: Math.max(...zs) - y + pad };
}

function boundsOf(document: PropertyDocument): { x: number; y: number; w: number; h: number } {
  const all: Vec2[] = [
    ...(document.site.boundary ?? []),
    ...document.buildings.flatMap((b) =>
      b.parts.flatMap((p): Vec2[] => (p.kind === 'wall' || p.kind === 'railing' ? [p.from, p.to] : [])),
    ),
    ...document.planting.flatMap((p): Vec2[] => (p.kind === 'plant' ? [p.at] : [])),
    ...document.viewpoints.map((v): Vec2 => [v.eye[0], v.eye[2]]),
  ];
  if (all.length === 0) return { x: -10, y: -10, w: 20, h: 20 };
  const xs = all.map((p) => p[0]);
  const zs = all.map((p) => p[1]);
  const pad = 2;
  const x = Math.min(...xs) - pad;
  const y = Math.min(...zs) - pad;
  return { x, y, w: Math.max(...xs) - x + pad, h: Math.max(...zs) - y + pad };
}

function Ground({ document }: { document: PropertyDocument }) {
  return (
    <g className="plan-ground">
      {document.site.boundary && <polygon className="boundary" points={points(document.site.boundary)} />}
      {document.ground.patches.map((p) => (
        <polygon key={p.id} className={`patch ${p.use}`} points={points(p.outline)}>
          <title>{p.name || p.use}</title>
        </polygon>
      ))}
      {document.water.map((w) => (
        <polygon key={w.id} className="water" points={points(w.outline)}>
          <title>{w.name}</title>
        </polygon>
      ))}
      {document.planting.map((p) =>
        p.kind === 'plant' ? (
          <g key={p.id} className="crown">
            <circle cx={p.at[0]} cy={p.at[1]} r={p.spreadM / 2} />
            <circle className="trunk" cx={p.at[0]} cy={p.at[1]} r={Math.max(0.06, p.trunkDiameterM / 2)} />
            <title>{p.name}</title>
          </g>
        ) : null,
      )}
    </g>
  );
}

function Massing({ document }: { document: PropertyDocument }) {
  return (
    <g className="plan-massing">
      {document.buildings.flatMap((b) =>
        b.parts.map((p) => {
          switch (p.kind) {
            case 'wall':
              return (
                <line
                  key={p.id}
                  className="wall"
                  x1={p.from[0]}
                  y1={p.from[1]}
                  x2={p.to[0]}
                  y2={p.to[1]}
                  strokeWidth={p.thicknessM}
                />
              );
            case 'railing':
              return <line key={p.id} className="railing" x1={p.from[0]} y1={p.from[1]} x2={p.to[0]} y2={p.to[1]} />;
            case 'duct':
              return <line key={p.id} className="duct" x1={p.from[0]} y1={p.from[2]} x2={p.to[0]} y2={p.to[2]} />;
            case 'column':
              return <circle key={p.id} className="solid" cx={p.at[0]} cy={p.at[2]} r={p.widthM / 2} />;
            case 'tub':
              return <circle key={p.id} className="solid" cx={p.at[0]} cy={p.at[2]} r={p.topWidthM / 2} />;
            case 'box':
              return (
                <rect
                  key={p.id}
                  className="solid"
                  x={p.centre[0] - p.sizeM[0] / 2}
                  y={p.centre[2] - p.sizeM[2] / 2}
                  width={p.sizeM[0]}
                  height={p.sizeM[2]}
                />
              );
            default:
              return null;
          }
        }),
      )}
    </g>
  );
}

/** Cables straight from end to end, or over their bends; run letter and length beside the line. */
function Cables({ scheme, document, text }: { scheme: SchemeRecord | undefined; document: PropertyDocument; text: number }) {
  if (!scheme) return null;
  const placeOf = (runId: string, legId: string | undefined): Vec2 | undefined => {
    const run = scheme.runs.find((r) => r.id === runId);
    if (legId === undefined) {
      const t = scheme.transformers.find((x) => x.id === run?.transformerId);
      return t && [t.at[0], t.at[2]];
    }
    const leg = run?.legs.find((l) => l.id === legId);
    const fixture = [...scheme.fixtures, ...document.existing].find((f) => f.id === leg?.fixtureId);
    if (fixture) return [fixture.at[0], fixture.at[2]];
    const end = leg?.path?.[leg.path.length - 1];
    return end ? [end[0], end[2]] : leg && placeOf(runId, leg.fromId);
  };
  return (
    <g className="plan-cables">
      {scheme.runs.flatMap((run) =>
        run.legs.map((leg) => {
          const from = placeOf(run.id, leg.fromId);
          const to = placeOf(run.id, leg.id);
          if (!from || !to) return null;
          const bends = (leg.path ?? []).map(([x, , z]): Vec2 => [x, z]);
          const line = bends.length > 1 ? bends : [from, ...bends, to];
          return (
            <g key={`${run.id}/${leg.id}`}>
              <polyline points={points(line)} className={leg.lengthGuessed ? 'cable guessed' : 'cable'} />
              {Math.hypot(to[0] - from[0], to[1] - from[1]) > text * 4 && (
                <text x={(from[0] + to[0]) / 2} y={(from[1] + to[1]) / 2 - text * 0.3} fontSize={text} textAnchor="middle">
                  {leg.lengthM.toFixed(1)} m{leg.lengthGuessed ? ' guessed' : ''}
                </text>
              )}
            </g>
          );
        }),
      )}
      {scheme.transformers.map((t) => (
        <g key={t.id}>
          <rect className="transformer" x={t.at[0] - text} y={t.at[2] - text * 0.6} width={text * 2} height={text * 1.2} />
          <text x={t.at[0] + text * 1.2} y={t.at[2] + text * 0.4} fontSize={text}>
            {t.name} {t.capacityVa} VA
          </text>
        </g>
      ))}
    </g>
  );
}

function EyeArrow({ eye, to, size }: { eye: Vec2; to: Vec2; size: number }) {
  const angle = (Math.atan2(to[1] - eye[1], to[0] - eye[0]) * 180) / Math.PI;
  return (
    <g transform={`translate(${eye[0]} ${eye[1]}) rotate(${angle}) scale(${size})`}>
      <path d="M0,0 m-.6,0 a.6,.6 0 1,0 1.2,0 a.6,.6 0 1,0 -1.2,0 M.6,-.5 L1.5,0 L.6,.5" />
    </g>
  );
}

function ScaleBar({ x, y, text }: { x: number; y: number; text: number }) {
  return (
    <g className="scale-bar">
      <path d={`M${x},${y - text * 0.4} V${y} H${x + 5} V${y - text * 0.4}`} />
      <text x={x + 5.3} y={y} fontSize={text}>
        5 m
      </text>
    </g>
  );
}
