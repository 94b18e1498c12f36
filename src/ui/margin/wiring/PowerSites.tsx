import type { PowerSiteRecord } from '../../../scene/index.ts';
import { Choice, Fold, TextField } from '../../parts/controls.tsx';
import { useApp, useEditorState } from '../../state/context.tsx';

const ANSWERS = [
  ['yes', 'yes'],
  ['no', 'no'],
  ['unknown', 'don’t know'],
] as const;

/** Outlets and their answers; each may be "don't know". */
export function PowerSites() {
  const app = useApp();
  const sites = useEditorState((s) => s.document.powerSites);
  const put = (site: PowerSiteRecord, what: string, patch: Partial<PowerSiteRecord>) =>
    app.editor.edit(`${what} of ${site.name}`, (d) => ({
      ...d,
      powerSites: d.powerSites.map((p) => (p.id === site.id ? { ...p, ...patch } : p)),
    }));
  const add = () =>
    app.editor.edit('add power site', (d) => {
      let n = d.powerSites.length + 1;
      while (d.powerSites.some((p) => p.id === `power-${n}`)) n += 1;
      const site: PowerSiteRecord = {
        id: `power-${n}`,
        name: `Outlet ${n}`,
        at: [0, 0.5, 0.1],
        protectedOutlet: 'unknown',
        inUseCover: 'unknown',
        switched: 'unknown',
        wirelessReach: 'unknown',
      };
      return { ...d, powerSites: [...d.powerSites, site] };
    });
  return (
    <>
      <div className="list-head">
        <h3>Power sites</h3>
        <button type="button" onClick={add}>
          Add power site
        </button>
      </div>
      {sites.map((site) => (
        <Fold
          key={site.id}
          title={site.name}
          note={
            site.protectedOutlet === 'yes'
              ? 'protected outlet'
              : site.protectedOutlet === 'no'
                ? 'not protected'
                : 'protection not known'
          }
        >
          <div className="fields">
            <TextField label="Name" value={site.name} onTake={(name) => put(site, 'name', { name: name.slice(0, 200) })} />
            <Choice
              label="Outlet protected (GFCI or RCD)?"
              value={site.protectedOutlet}
              options={ANSWERS}
              onChoose={(protectedOutlet) => put(site, 'protection', { protectedOutlet })}
            />
            <Choice
              label="In-use cover?"
              value={site.inUseCover}
              options={ANSWERS}
              onChoose={(inUseCover) => put(site, 'cover', { inUseCover })}
            />
            <Choice
              label="Switched?"
              value={site.switched}
              options={ANSWERS}
              onChoose={(switched) => put(site, 'switch', { switched })}
            />
            <Choice
              label="Wireless reach?"
              value={site.wirelessReach}
              options={ANSWERS}
              onChoose={(wirelessReach) => put(site, 'wireless reach', { wirelessReach })}
            />
          </div>
        </Fold>
      ))}
    </>
  );
}
