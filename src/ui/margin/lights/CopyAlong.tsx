import { useState } from 'react';
import { evenAlong, findWall, piersOf, placeFromWall, wallPlaceOf } from '../../../editor/index.ts';
import type { FixtureRecord } from '../../../scene/index.ts';
import { Choice } from '../../parts/controls.tsx';
import { QuantityField } from '../../parts/QuantityField.tsx';
import { useApp, useEditorState } from '../../state/context.tsx';

/** Copies fall on piers or on even spacing, end light at half a space; one undo removes them all. */
export function CopyAlong({ fixture }: { fixture: FixtureRecord }) {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const [how, setHow] = useState<'piers' | 'even'>('piers');
  const [count, setCount] = useState(6);
  const place = wallPlaceOf(document, fixture);
  const wall = place && findWall(document, place.wallId);
  if (!place || !wall) return <p className="second">No wall near this light.</p>;
  const marks = how === 'piers' ? piersOf(wall).map((p) => p.midM) : evenAlong(wall, Math.max(2, Math.round(count)));
  const nearest = marks.reduce(
    (best, m) => (Math.abs(m - place.alongM) < Math.abs(best - place.alongM) ? m : best),
    Number.POSITIVE_INFINITY,
  );
  const wanted = marks.filter((m) => m !== nearest || Math.abs(m - place.alongM) > 0.3);
  const copy = () => {
    const places = wanted.map((alongM) =>
      placeFromWall(document, { wallId: wall.id, setBackM: place.setBackM, alongM, heightM: place.heightM, side: place.side }),
    );
    if (places.length === 0) return;
    const copies = app.editor.copyAlong(fixture.id, places);
    app.say(`${copies.length} copies along ${place.wallName}. Undo removes them all.`);
  };
  return (
    <>
      <Choice<'piers' | 'even'>
        label="Places"
        value={how}
        options={[
          ['piers', 'middle of each pier'],
          ['even', 'even spacing'],
        ]}
        onChoose={setHow}
      />
      {how === 'even' && (
        <QuantityField
          label="Lights in the row"
          value={count}
          unit=""
          min={2}
          max={20}
          step={1}
          decimals={0}
          onTake={(v) => setCount(Math.round(v))}
        />
      )}
      <button type="button" onClick={copy} disabled={wanted.length === 0}>
        Copy to {wanted.length} {wanted.length === 1 ? 'place' : 'places'} on {place.wallName}
      </button>
    </>
  );
}
