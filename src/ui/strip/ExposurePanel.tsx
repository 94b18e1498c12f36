import { ev100FromLuminance, midGreyLuminance, saturationLuminance } from '../../exposure/index.ts';
import { Range } from '../parts/controls.tsx';
import { pictureLuminances } from '../picture/metering.ts';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';
import { clock, figure, percent } from '../state/format.ts';

/** Exposure is held and the same for both sides; setting it from the picture is an act, never a behaviour. */
export function ExposurePanel() {
  const app = useApp();
  const ev = useEditorState((s) => s.session.ev100);
  const propertyEv = useEditorState((s) => s.document.site.ev100);
  const clipped = useScreen((s) => s.clippedShare);
  const setOnce = async () => {
    const metered = await pictureLuminances(app);
    if (metered === undefined) {
      app.say('Nothing lit in this picture to set the exposure from.');
      return;
    }
    const wanted = Math.max(-4, Math.min(10, Math.round(ev100FromLuminance(metered) * 2) / 2));
    app.editor.session({ ev100: wanted, evNote: `set from this picture ${clock()}` });
    app.say(`Exposure EV ${wanted.toFixed(1)}, set from this picture.`);
  };
  const keep = () => app.editor.edit(`exposure EV ${ev.toFixed(1)}`, (d) => ({ ...d, site: { ...d.site, ev100: ev } }));
  return (
    <>
      <Range
        label="Exposure, EV at ISO 100"
        value={ev}
        min={-4}
        max={10}
        step={0.5}
        text={`EV ${ev.toFixed(1)}`}
        onChange={(ev100) => app.editor.session({ ev100, evNote: 'held' })}
      />
      <p>
        Mid-grey {figure(midGreyLuminance(ev))} cd/m², white limit {figure(saturationLuminance(ev))} cd/m². {percent(clipped, 1)}{' '}
        of the picture above the limit.
      </p>
      <div className="buttons">
        <button type="button" onClick={() => void setOnce()}>
          Set once from this picture
        </button>
        <button type="button" disabled={ev === propertyEv} onClick={keep}>
          Keep EV {ev.toFixed(1)} in the property
        </button>
        <button
          type="button"
          disabled={ev === propertyEv}
          onClick={() => app.editor.session({ ev100: propertyEv, evNote: 'held' })}
        >
          Back to EV {propertyEv.toFixed(1)}
        </button>
      </div>
    </>
  );
}
