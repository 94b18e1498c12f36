import { useState } from 'react';
import { findWall, placeFromWall, wallsOf } from '../../../editor/index.ts';
import { groundHeightAt, type Vec3 } from '../../../scene/index.ts';
import type { PlaceReading } from '../../../worker/index.ts';
import { Choice, Fold } from '../../parts/controls.tsx';
import { QuantityField } from '../../parts/QuantityField.tsx';
import { SlipLines } from '../../picture/ReadingSlip.tsx';
import { useApp, useEditorState } from '../../state/context.tsx';

/** *Read a place*: surface, along and height give the same slip as the pointer. */
export function ReadPlace() {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const walls = wallsOf(document);
  const [wallId, setWallId] = useState(walls[0]?.id ?? '');
  const [alongM, setAlong] = useState(1);
  const [heightM, setHeight] = useState(1.5);
  const [reading, setReading] = useState<PlaceReading | 'none'>();
  const read = async () => {
    const wall = findWall(document, wallId);
    if (!wall) return;
    const foot = placeFromWall(document, { wallId, setBackM: 0, alongM, heightM: 0 });
    const out = placeFromWall(document, { wallId, setBackM: 1, alongM, heightM: 0 });
    const normal: Vec3 = [out[0] - foot[0], 0, out[2] - foot[2]];
    const y = groundHeightAt(document, out[0], out[2]) + heightM;
    const from: Vec3 = [foot[0] + normal[0] * 0.3, y, foot[2] + normal[2] * 0.3];
    setReading((await app.client.readAlong(from, [-normal[0], 0, -normal[2]])) ?? 'none');
  };
  if (walls.length === 0) return null;
  return (
    <Fold title="Read a place">
      <Choice
        label="Surface"
        value={wallId}
        options={walls.map((w): [string, string] => [w.id, w.name || w.id])}
        onChoose={setWallId}
      />
      <div className="fields">
        <QuantityField label="Along" value={alongM} unit="m" min={0} max={60} step={0.1} onTake={setAlong} />
        <QuantityField label="Height" value={heightM} unit="m" min={0} max={30} step={0.1} onTake={setHeight} />
      </div>
      <button type="button" onClick={() => void read()}>
        Read
      </button>
      <div aria-live="polite">{reading === 'none' ? <p>No surface there.</p> : reading && <SlipLines reading={reading} />}</div>
    </Fold>
  );
}
