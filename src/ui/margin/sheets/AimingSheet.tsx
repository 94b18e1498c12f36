import { anglesOf, wallPlaceOf } from '../../../editor/index.ts';
import { formatLength } from '../../../units/index.ts';
import { useEditorState, useScheme } from '../../state/context.tsx';
import { lampOf, lampWords, numberText } from '../../state/lights.ts';
import { MOUNT_WORD } from '../../state/words.ts';
import { SheetFrame } from './SheetFrame.tsx';

/** Per light: place against its wall, tilt, bearing both ways, aim height. */
export default function AimingSheet() {
  const document = useEditorState((s) => s.document);
  const session = useEditorState((s) => s.session);
  const scheme = useScheme();
  const m = (v: number) => formatLength(v, session.lengthSystem);
  return (
    <>
      <div className="buttons no-print">
        <button type="button" onClick={() => window.print()}>
          Print
        </button>
      </div>
      <SheetFrame>
        <div className="table-frame">
          <table aria-label="Aiming sheet">
            <thead>
              <tr>
                <th>Light</th>
                <th>Place</th>
                <th className="number">Tilt from upright</th>
                <th className="number">Bearing</th>
                <th>Aim</th>
                <th>Lamp</th>
              </tr>
            </thead>
            <tbody>
              {(scheme?.fixtures ?? []).map((f) => {
                const place = wallPlaceOf(document, f);
                const angles = anglesOf(f.at, f.aim);
                const off = place
                  ? `, ${Math.abs(place.offSquareDeg).toFixed(0)}° ${place.offSquareDeg < 0 ? 'left' : 'right'} of square`
                  : '';
                return (
                  <tr key={f.id}>
                    <td>
                      {numberText(document, session.schemeId, f.id)} {f.name}
                    </td>
                    <td>
                      {MOUNT_WORD[f.mount]}
                      {place &&
                        `, ${m(place.setBackM)} from ${place.wallName}, ${m(place.alongM)} along, lens ${m(place.heightM)} up`}
                    </td>
                    <td className="number">{angles.tiltDeg.toFixed(0)}°</td>
                    <td className="number">
                      {angles.bearingDeg.toFixed(0)}°{off}
                    </td>
                    <td>
                      {m(f.aim[1])} up, {m(angles.distanceM)} away
                    </td>
                    <td>{lampWords(lampOf(document, f))}</td>
                  </tr>
                );
              })}
            </tbody>
          </table>
        </div>
      </SheetFrame>
    </>
  );
}
