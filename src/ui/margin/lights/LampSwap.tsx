import { useEffect, useRef } from 'react';
import { putFixtureInto } from '../../../editor/index.ts';
import type { FixtureRecord, LampRecord } from '../../../scene/index.ts';
import { useApp, useEditorState, useScreen } from '../../state/context.tsx';
import { figure } from '../../state/format.ts';
import { AimReading } from './AimReading.tsx';

/** Centre-beam candela of a lamp: (1−s)·Φ(n+1)/2π + s·Φ/π, n = ln ½ / ln cos(B/2); a table gives its highest. */
function centreCandela(lamp: LampRecord): number {
  const d = lamp.distribution;
  if (d.kind === 'table') return Math.max(...d.candela.flat());
  const n = Math.log(0.5) / Math.log(Math.cos((d.beamAngleFullDeg * Math.PI) / 360));
  return ((1 - d.spillShare) * d.fluxLm * (n + 1)) / (2 * Math.PI) + (d.spillShare * d.fluxLm) / Math.PI;
}

/** Lamps of the catalogue in one table; press sees one in the picture, Enter or Keep takes it, Escape restores. */
export default function LampSwap({ fixture, named }: { fixture: FixtureRecord; named: string }) {
  const app = useApp();
  const lamps = useEditorState((s) => s.document.catalogue.lamps);
  const schemeId = useEditorState((s) => s.session.schemeId);
  const settling = useScreen((s) => s.settled !== s.requested);
  const trying = useRef(false);
  const see = (lampId: string) => {
    if (!trying.current) app.editor.beginGesture(`lamp of ${named}`);
    trying.current = true;
    app.editor.preview((d) => putFixtureInto(d, schemeId, { ...fixture, lampId }));
  };
  const keep = (lampId: string) => {
    see(lampId);
    trying.current = false;
    app.editor.commitGesture();
  };
  const restore = () => {
    if (trying.current) app.editor.cancelGesture();
    trying.current = false;
  };
  useEffect(
    () => () => {
      if (trying.current) app.editor.cancelGesture();
    },
    [app],
  );
  return (
    <section
      className="lamp-swap"
      aria-label="Try another lamp"
      onKeyDown={(event) => {
        if (event.key !== 'Escape' || !trying.current) return;
        event.stopPropagation();
        restore();
      }}
    >
      <div className="table-frame">
        <table aria-label="Lamps of the catalogue">
          <thead>
            <tr>
              <th>Lamp</th>
              <th className="number">lm</th>
              <th className="number">Beam</th>
              <th className="number">K</th>
              <th className="number">W</th>
              <th className="number">cd centre</th>
              <th>
                <span className="spoken">Act</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {lamps.map((lamp) => (
              <tr key={lamp.id} data-selected={lamp.id === fixture.lampId}>
                <td>{lamp.name}</td>
                <td className="number">{lamp.distribution.kind === 'model' ? lamp.distribution.fluxLm : 'table'}</td>
                <td className="number">
                  {lamp.distribution.kind === 'model' ? `${lamp.distribution.beamAngleFullDeg}°` : 'table'}
                </td>
                <td className="number">{lamp.cctK}</td>
                <td className="number">{lamp.powerW}</td>
                <td className="number">{figure(centreCandela(lamp))}</td>
                <td>
                  <div className="buttons tight">
                    <button type="button" aria-label={`See ${lamp.name}`} onClick={() => see(lamp.id)}>
                      See
                    </button>
                    <button type="button" aria-label={`Keep ${lamp.name}`} onClick={() => keep(lamp.id)}>
                      Keep
                    </button>
                  </div>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {settling ? <p className="second small">Working out the light</p> : <AimReading fixture={fixture} />}
      <button type="button" onClick={restore}>
        Back to its own lamp
      </button>
    </section>
  );
}
