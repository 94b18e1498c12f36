import { BAND_RAMP, luminanceBands, luxBands } from '../../exposure/index.ts';
import { useEditorState, useScreen } from '../state/context.tsx';
import { percent } from '../state/format.ts';

/** Bands of the false-colour map with their edges written, and the clipped share when marked. */
export function Legend() {
  const session = useEditorState((s) => s.session);
  const clipped = useScreen((s) => s.clippedShare);
  const scale = session.falseColour === 'lux' ? luxBands : session.falseColour === 'luminance' ? luminanceBands : undefined;
  return (
    <>
      {scale && (
        <figure className="legend" aria-label={`False colour, ${scale.id}, ${scale.unit}`}>
          <figcaption>
            {scale.id === 'lux' ? 'Lux map' : 'Luminance map'}, {scale.unit}
          </figcaption>
          <svg viewBox="0 0 84 264" width="84" height="264" aria-hidden="true">
            {BAND_RAMP.map((colour, i) => (
              <rect key={colour} x="0" y={(11 - i) * 22} width="44" height="22" fill={colour} className="band" />
            ))}
            {scale.edges.map((edge, i) => (
              <g key={edge}>
                <line
                  x1="0"
                  x2="48"
                  y1={(11 - i) * 22}
                  y2={(11 - i) * 22}
                  className={scale.edgeLine === 'dashed' ? 'edge dashed' : 'edge'}
                />
                <text x="52" y={(11 - i) * 22 + 4}>
                  {edge}
                </text>
              </g>
            ))}
          </svg>
          {scale.id === 'lux' && <p className="small">Findings: step 5, seat 5</p>}
        </figure>
      )}
      {session.markClipped && (
        <p className="clipped-note" role="status">
          {percent(clipped, 1)} of the picture at the white limit of EV {session.ev100.toFixed(1)}
        </p>
      )}
    </>
  );
}
