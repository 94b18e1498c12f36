import { openingSunDeg, surroundingsFigures } from '../../../exposure/index.ts';
import type { SiteRecord } from '../../../scene/index.ts';
import { Choice, TextField } from '../../parts/controls.tsx';
import { QuantityField } from '../../parts/QuantityField.tsx';
import { useApp, useEditorState } from '../../state/context.tsx';
import { figure } from '../../state/format.ts';
import { EMPTY, SURROUNDINGS_WORD } from '../../state/words.ts';
import { NeighbourWindows } from './NeighbourWindows.tsx';

type Surroundings = SiteRecord['surroundings'];

/** Region, surroundings, north, place, date, curfew. */
export function SiteFields() {
  const app = useApp();
  const site = useEditorState((s) => s.document.site);
  const put = (what: string, patch: Partial<SiteRecord>) =>
    app.editor.edit(what, (d) => ({ ...d, site: { ...d.site, ...patch } }));
  const surroundings = Object.entries(SURROUNDINGS_WORD) as [Surroundings, string][];
  return (
    <>
      <div className="fields">
        <Choice
          label="Region"
          value={site.region}
          options={[
            ['US', 'US'],
            ['CA', 'Canada'],
            ['IEC', 'IEC countries'],
            ['unknown', 'don’t know'],
          ]}
          onChoose={(region) => put('region', { region })}
        />
        <Choice
          label="Surroundings"
          value={site.surroundings}
          options={surroundings.map(([id, words]): [Surroundings, string] => [
            id,
            `${words}, ${figure(surroundingsFigures[id].skyLx)} lx`,
          ])}
          onChoose={(v) => put('surroundings', { surroundings: v })}
        />
        <QuantityField
          label="Away from the street lies"
          value={site.northDeg}
          unit="deg"
          min={0}
          max={359}
          step={1}
          hint="degrees clockwise from north"
          onTake={(northDeg) => put('north', { northDeg })}
        />
        <QuantityField
          label="Latitude"
          value={site.latitudeDeg ?? 0}
          unit="deg"
          min={-90}
          max={90}
          step={0.01}
          hint={site.latitudeDeg === undefined ? 'don’t know' : ''}
          onTake={(latitudeDeg) => put('latitude', { latitudeDeg })}
        />
        <QuantityField
          label="Longitude"
          value={site.longitudeDeg ?? 0}
          unit="deg"
          min={-180}
          max={180}
          step={0.01}
          hint={site.longitudeDeg === undefined ? 'don’t know' : ''}
          onTake={(longitudeDeg) => put('longitude', { longitudeDeg })}
        />
        <TimeOrDate label="Curfew" type="time" value={site.curfew} onTake={(curfew) => put('curfew', { curfew })} />
        <TimeOrDate label="Date of the picture" type="date" value={site.date ?? ''} onTake={(date) => put('date', { date })} />
        <QuantityField
          label="Exposure of every picture"
          value={site.ev100}
          unit="EV"
          min={-4}
          max={10}
          step={0.5}
          onTake={(ev100) => put('exposure', { ev100 })}
        />
        <QuantityField
          label="Sun when its pictures open"
          value={openingSunDeg(site)}
          unit="deg"
          min={-18}
          max={2}
          step={0.5}
          onTake={(sunAltitudeDeg) => put('opening sun', { sunAltitudeDeg })}
        />
      </div>
      <TextField label="Notes" value={site.notes} multiline onTake={(notes) => put('notes', { notes: notes.slice(0, 4000) })} />
      <NeighbourWindows />
      {!site.boundary && <p className="second">{EMPTY.boundary}</p>}
      <p className="second small">
        {site.noLightZones.length} no-light zones. Drawing outlines is not part of this build; they come with the file.
      </p>
    </>
  );
}

function TimeOrDate(props: { label: string; type: 'time' | 'date'; value: string; onTake(value: string): void }) {
  return (
    <label className="field">
      <span className="small second">{props.label}</span>
      <input
        key={props.value}
        type={props.type}
        defaultValue={props.value}
        onBlur={(event) => event.target.value !== '' && event.target.value !== props.value && props.onTake(event.target.value)}
      />
    </label>
  );
}
