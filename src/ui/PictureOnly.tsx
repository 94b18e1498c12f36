import { useEffect, useRef, useState } from 'react';
import { cameraOf } from '../editor/index.ts';
import { eveningAt, moonPlaceOf, openingSunDeg } from '../exposure/index.ts';
import type { Conditions, Source } from '../lights/index.ts';
import type { PropertyDocument, SiteRecord, ViewpointRecord } from '../scene/index.ts';
import { parseProperty } from '../scene/index.ts';
import { NightPicture, type NightPictureHandle } from '../view/index.ts';
import { createLightClient, type LightClient } from '../worker/index.ts';

interface Asked {
  document: PropertyDocument;
  schemeId: string;
  lights: Source[];
  view: ViewpointRecord;
  after: boolean;
  ev100: number;
  conditions: Conditions;
  benchFrames: boolean;
}

/**
 * The picture alone, filling the window: `?picture=only&file=…&scheme=…&view=…&sun=…&ev=…&before=1` and what `conditionsOf` reads. The command line draws
 * its pictures through this page. `html[data-settled]` is set, to the viewpoint's id, once the settled light has been drawn and
 * averaged; `#viewpoint-id` then asks for another viewpoint in the same light. With
 * `bench=frames`, `html[data-frames]` then gets the frame times, JSON of `FrameTimes`.
 */
export function PictureOnly({ query }: { query: URLSearchParams }) {
  const [asked, setAsked] = useState<Asked>();
  const [trouble, setTrouble] = useState<string>();
  useEffect(() => {
    readAsked(query).then(setAsked, (error: unknown) => setTrouble(error instanceof Error ? error.message : String(error)));
  }, [query]);
  if (trouble) return <p className="opening">{trouble}</p>;
  return asked ? <Drawing asked={asked} /> : null;
}

async function readAsked(query: URLSearchParams): Promise<Asked> {
  const response = await fetch(query.get('file') ?? '');
  const parsed = parseProperty(await response.text());
  if (!parsed.ok) throw new Error(`${parsed.errors[0]?.path}: ${parsed.errors[0]?.reason}`);
  const { document } = parsed;
  const view = document.viewpoints.find((v) => v.id === query.get('view')) ?? document.viewpoints[0];
  if (!view) throw new Error('this property has no viewpoints');
  const number = (name: string, otherwise: number) => {
    const value = Number(query.get(name) ?? otherwise);
    return Number.isFinite(value) ? value : otherwise;
  };
  const { resolvePoweredSources } = await import('../power/index.ts');
  const schemeId = query.get('scheme') ?? document.schemes[0]?.id ?? '';
  const after = !query.has('before');
  return {
    document,
    schemeId,
    lights: resolvePoweredSources(document, schemeId, { after, dirt: 'asShown' }),
    view,
    after,
    ev100: number('ev', document.site.ev100),
    conditions: conditionsOf(query, document.site, number),
    benchFrames: query.get('bench') === 'frames',
  };
}

/** `sun`, `moon` (none, quarter, full), `moonHeight` and `moonAzimuth` in degrees, `cloud`, `paving`; bare plants are the property's own season. */
function conditionsOf(query: URLSearchParams, site: SiteRecord, number: (name: string, otherwise: number) => number): Conditions {
  const one = <T extends string>(name: string, ...of: [T, ...T[]]): T => of.find((v) => v === query.get(name)) ?? of[0];
  const conditions: Conditions = {
    ...eveningAt(site, number('sun', openingSunDeg(site))),
    moon: one('moon', 'none', 'quarter', 'full'),
    cloud: one('cloud', 'clear', 'overcast'),
    leaves: 'on',
    paving: one('paving', 'dry', 'wet'),
  };
  if (!query.has('moonAzimuth')) return conditions;
  const chosen = moonPlaceOf(conditions);
  const altitudeDeg = number('moonHeight', chosen.altitudeDeg);
  return { ...conditions, moonPlace: { ...chosen, altitudeDeg, azimuthDeg: number('moonAzimuth', 0) } };
}

function Drawing({ asked }: { asked: Asked }) {
  const picture = useRef<NightPictureHandle>(null);
  const [client] = useState<LightClient>(() => createLightClient());
  const view = useViewFromHash(asked);
  useEffect(() => {
    const { document: property, schemeId, after, conditions } = asked;
    const stop = client.onEvent((event) => {
      if (event.type !== 'settled') return;
      void markWhenRefined(asked.view.id).then(async () => {
        if (asked.benchFrames) document.documentElement.dataset.frames = JSON.stringify(await picture.current?.benchFrames());
      });
    });
    client.show({ revision: 1, document: property, schemeId, after, conditions, judge: false });
    return () => {
      stop();
      client.close();
    };
  }, [asked, client]);
  return (
    <div className="picture-only">
      <NightPicture
        ref={picture}
        client={client}
        camera={cameraOf(view)}
        ev100={asked.ev100}
        conditions={asked.conditions}
        surroundings={asked.document.site.surroundings}
        lights={asked.lights}
        falseColour="off"
        markClipped={false}
      />
    </div>
  );
}

/** The viewpoint asked for first, then the one the address' hash names. */
function useViewFromHash({ document: { viewpoints }, view: first }: Asked): ViewpointRecord {
  const [view, setView] = useState(first);
  useEffect(() => {
    const take = () => {
      const named = viewpoints.find((v) => v.id === window.location.hash.slice(1));
      if (!named) return;
      delete document.documentElement.dataset.settled;
      setView(named);
      void markWhenRefined(named.id);
    };
    window.addEventListener('hashchange', take);
    return () => window.removeEventListener('hashchange', take);
  }, [viewpoints]);
  return view;
}

/** Waits, frame by frame, until the picture of the settled light is the averaged one and late textures have arrived. */
async function markWhenRefined(viewId: string): Promise<void> {
  let still = 0;
  while (still < 5) {
    await new Promise(requestAnimationFrame);
    const picture = document.querySelector<HTMLElement>('[data-picture]')?.dataset;
    still = picture?.stage === 'refined' && picture.relief === 'ready' ? still + 1 : 0;
  }
  document.documentElement.dataset.settled = viewId;
}
