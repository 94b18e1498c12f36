import { useEffect, useRef, useState } from 'react';
import { putFixtureInto } from '../../../editor/index.ts';
import type { FixtureRecord, Vec3 } from '../../../scene/index.ts';
import { useApp, useEditorState, useScreen } from '../../state/context.tsx';
import { illuminance } from '../../state/format.ts';
import { beamDegrees, lampLumens, lampOf } from '../../state/lights.ts';
import { AimReading } from './AimReading.tsx';
import { axisCandela } from './axisCandela.ts';

/** Lamps of the catalogue in one table; press sees one in the picture, Enter or Keep takes it, Escape restores. */
export default function LampSwap({ fixture, named }: { fixture: FixtureRecord; named: string }) {
  const app = useApp();
  const lamps = useEditorState((s) => s.document.catalogue.lamps);
  const schemeId = useEditorState((s) => s.session.schemeId);
  const settling = useScreen((s) => s.settled !== s.requested);
  const unit = useEditorState((s) => s.session.lightUnit);
  const trying = useRef(false);
  // The light as it was when the table opened: its own share at the aim, from which every other lamp's follows.
  const [opened] = useState(fixture);
  const [ownLx, setOwnLx] = useState<number>();
  useEffect(() => {
    let gone = false;
    const direction: Vec3 = [opened.aim[0] - opened.at[0], opened.aim[1] - opened.at[1], opened.aim[2] - opened.at[2]];
    void app.client.readAlong(opened.at, direction).then((reading) => {
      if (!gone) setOwnLx(reading?.light.bySource.find((s) => s.id === opened.id)?.directLx);
    });
    return () => {
      gone = true;
    };
  }, [app, opened]);
  const openedLamp = useEditorState((s) => lampOf(s.document, opened));
  /** Same place, aim, lens and dirt: direct lux on the axis goes as the candela on the axis. */
  const luxOf = (lamp: (typeof lamps)[number]): string => {
    const now = openedLamp ? axisCandela(openedLamp, opened) : 0;
    return ownLx === undefined || now <= 0 ? 'to come' : illuminance((ownLx * axisCandela(lamp, opened)) / now, unit);
  };
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
              <th>
                <span className="spoken">Act</span>
              </th>
              <th className="number">At its aim</th>
              <th className="number">lm</th>
              <th className="number">Beam</th>
              <th className="number">K</th>
              <th className="number">W</th>
              <th>Lamp</th>
            </tr>
          </thead>
          <tbody>
            {lamps.map((lamp) => (
              <tr key={lamp.id} data-selected={lamp.id === fixture.lampId}>
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
                <td className="number">{luxOf(lamp)}</td>
                <td className="number">{lampLumens(lamp)}</td>
                <td className="number">{beamDegrees(lamp)}°</td>
                <td className="number">{lamp.cctK}</td>
                <td className="number">{lamp.powerW}</td>
                <td>{lamp.name.split(',')[0]}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p className="second small">
        At its aim: own direct share. Enter on a row’s Keep takes the lamp; Escape gives the old one back.
      </p>
      {settling ? <p className="second small">Working out the light</p> : <AimReading fixture={fixture} />}
      <button type="button" onClick={restore}>
        Back to its own lamp
      </button>
    </section>
  );
}
