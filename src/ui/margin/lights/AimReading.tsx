import { useEffect, useState } from 'react';
import type { FixtureRecord, Vec3 } from '../../../scene/index.ts';
import type { PlaceReading } from '../../../worker/index.ts';
import { useApp, useEditorState, useScreen } from '../../state/context.tsx';
import { illuminance } from '../../state/format.ts';

/** Lux where the light aims: its own direct share and the total, by rays of their own. */
export function AimReading({ fixture }: { fixture: FixtureRecord }) {
  const app = useApp();
  const unit = useEditorState((s) => s.session.lightUnit);
  const settled = useScreen((s) => s.settled);
  const [reading, setReading] = useState<PlaceReading>();
  // biome-ignore lint/correctness/useExhaustiveDependencies: a newly settled field asks for a new reading
  useEffect(() => {
    let gone = false;
    const direction: Vec3 = [fixture.aim[0] - fixture.at[0], fixture.aim[1] - fixture.at[1], fixture.aim[2] - fixture.at[2]];
    void app.client.readAlong(fixture.at, direction).then((r) => {
      if (!gone) setReading(r);
    });
    return () => {
      gone = true;
    };
  }, [app, fixture.at, fixture.aim, settled]);
  if (!reading) return <p className="second">Its aim meets no surface.</p>;
  const own = reading.light.bySource.find((s) => s.id === fixture.id)?.directLx ?? 0;
  return (
    <p className="aim-reading" aria-live="off">
      At its aim: <strong>{illuminance(own, unit)}</strong> of its own,{' '}
      <strong>{illuminance(reading.light.totalLx, unit)}</strong> in all
      <span className="second small"> on {reading.materialLabel}</span>
    </p>
  );
}
