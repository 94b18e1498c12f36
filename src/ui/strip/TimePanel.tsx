import {
  clockAtSun,
  clockText,
  duskTimes,
  type KnownPlace,
  knownPlace,
  moonWords,
  skyHorizontalLx,
} from '../../exposure/index.ts';
import type { Conditions } from '../../lights/index.ts';
import type { Season } from '../../scene/index.ts';
import { Choice, Range } from '../parts/controls.tsx';
import { useApp, useEditorState } from '../state/context.tsx';
import { degrees, figure } from '../state/format.ts';
import { atClock, atMoon, atSun, type MoonChoice, moonChoice } from './evening.ts';

const SEASONS: [Season, string][] = [
  ['summer', 'summer'],
  ['autumn', 'autumn'],
  ['winter', 'bare winter'],
  ['spring', 'spring'],
];

/**
 * Sun, moon, cloud, season and paving of the picture. Findings hold for the judging night whatever stands here. The season is
 * the property's own: its plants are grown for it, so that light and picture agree and evergreens keep their leaves.
 */
export function TimePanel() {
  const app = useApp();
  const c = useEditorState((s) => s.session.conditions);
  const site = useEditorState((s) => s.document.site);
  const put = (conditions: Conditions) => app.editor.session({ conditions });
  const place = knownPlace(site);
  const hours = place && clockAtSun(place, c.sunAltitudeDeg);
  const lx = skyHorizontalLx(c, site.surroundings);
  const clock = hours === undefined ? '' : `${clockText(hours)}, `;
  const text = `${clock}sun ${degrees(c.sunAltitudeDeg)}, open sky ${figure(lx)} lx`;
  const moons: [MoonChoice, string][] = [
    ['none', 'none'],
    ['quarter', 'quarter'],
    ['full', 'full'],
  ];
  if (place) moons.push(['dated', 'of that evening']);
  return (
    <>
      <Range
        label="Dusk to night"
        value={-c.sunAltitudeDeg}
        min={-2}
        max={18}
        step={0.5}
        text={text}
        onChange={(v) => put(atSun(c, site, -v))}
      />
      <div className="fields">
        {place && <Clock place={place} hours={hours} onTake={(h) => put(atClock(c, place, h))} />}
        <Choice label="Moon" value={moonChoice(c)} options={moons} onChoose={(moon) => put(atMoon(c, site, moon))} />
        <Choice
          label="Cloud"
          value={c.cloud}
          options={[
            ['clear', 'clear'],
            ['overcast', 'overcast'],
          ]}
          onChoose={(cloud) => put({ ...c, cloud })}
        />
        <Choice
          label="Season"
          value={site.season ?? 'summer'}
          options={SEASONS}
          onChoose={(season) => app.editor.edit(`season: ${season}`, (d) => ({ ...d, site: { ...d.site, season } }))}
        />
        <Choice
          label="Paving"
          value={c.paving ?? 'dry'}
          options={[
            ['dry', 'dry'],
            ['wet', 'wet'],
          ]}
          onChoose={(paving) => put({ ...c, paving })}
        />
      </div>
      <MoonPlaceFields conditions={c} northDeg={site.northDeg} put={put} />
      <p className="second small">{place ? duskWords(place) : NO_PLACE}</p>
      <p className="second small">
        Findings are judged at sun −12.0°, no moon, house lights as the owner leaves them. Wet paving is shown only: no figure
        changes with it.
      </p>
    </>
  );
}

const NO_PLACE =
  'Clock times need latitude, longitude and date of the property. Until then the sun sets to the left of the front.';

function duskWords(place: KnownPlace): string {
  const { sunset, civil, nautical } = duskTimes(place);
  const at = (words: string, hours: number | undefined) => `${words} ${hours === undefined ? 'not that day' : clockText(hours)}`;
  const times = [at('Sunset', sunset), at('civil dusk ends', civil), at('nautical dusk ends', nautical)].join(' · ');
  const zone = place.offsetAssumed
    ? `clock UTC${signed(place.utcOffsetHours)} from the longitude, no summer time`
    : `clock UTC${signed(place.utcOffsetHours)}`;
  return `${place.date}: ${times} (${zone}).`;
}

const signed = (hours: number): string => `${hours < 0 ? '−' : '+'}${Math.abs(hours)}`;

/** Clock time at the place, for the sun's altitude; both are always shown. */
function Clock({ place, hours, onTake }: { place: KnownPlace; hours: number | undefined; onTake(hours: number): void }) {
  return (
    <div className="field">
      <label htmlFor="clock-at-place">Clock, {place.date}</label>
      <input
        id="clock-at-place"
        type="time"
        value={hours === undefined ? '' : clockText(hours)}
        onChange={(event) => {
          const [h, m] = event.target.value.split(':').map(Number);
          if (h !== undefined && m !== undefined && Number.isFinite(h + m)) onTake(h + m / 60);
        }}
      />
    </div>
  );
}

/** Height and direction of a moon whose phase was chosen; those of a dated moon are told. */
function MoonPlaceFields(props: { conditions: Conditions; northDeg: number; put(c: Conditions): void }) {
  const { conditions: c, northDeg, put } = props;
  const { moonPlace } = c;
  if (c.moon === 'none' || !moonPlace) return null;
  const bearing = Math.round((moonPlace.azimuthDeg + northDeg) % 360);
  if (moonPlace.dated) return <p className="small">{`Moon: ${moonWords(c)}, bearing ${bearing}°.`}</p>;
  return (
    <div className="fields">
      <Range
        label="Moon's height"
        value={moonPlace.altitudeDeg}
        min={2}
        max={75}
        step={1}
        text={degrees(moonPlace.altitudeDeg, 0)}
        onChange={(altitudeDeg) => put({ ...c, moonPlace: { ...moonPlace, altitudeDeg } })}
      />
      <Range
        label="Moon's bearing"
        value={bearing}
        min={0}
        max={359}
        step={1}
        text={`${bearing}°`}
        onChange={(to) => put({ ...c, moonPlace: { ...moonPlace, azimuthDeg: (((to - northDeg) % 360) + 360) % 360 } })}
      />
    </div>
  );
}
