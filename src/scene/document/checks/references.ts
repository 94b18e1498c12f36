import type { PropertyDocument } from '../../records/property.ts';
import type { ErrorList, PathStep } from '../errors.ts';

interface Named {
  id: string;
  steps: PathStep[];
}

const named = (list: readonly { id: string }[], ...steps: PathStep[]): Named[] =>
  list.map((record, i) => ({ id: record.id, steps: [...steps, i] }));

/** Ids are unique where others point at them; what points somewhere points at something. */
export function checkReferences(document: PropertyDocument, list: ErrorList): void {
  for (const group of uniqueGroups(document)) checkUnique(group, list);
  const lamps = document.catalogue.lamps.map((lamp) => lamp.id);
  const sites = document.powerSites.map((site) => site.id);
  for (const [i, fixture] of document.existing.entries()) {
    checkKnown(list, ['existing', i, 'lampId'], fixture.lampId, lamps, 'lamp of the catalogue');
  }
  for (const [s, scheme] of document.schemes.entries()) {
    const zones = scheme.zones.map((zone) => zone.id);
    for (const [i, fixture] of scheme.fixtures.entries()) {
      const at = ['schemes', s, 'fixtures', i];
      checkKnown(list, [...at, 'lampId'], fixture.lampId, lamps, 'lamp of the catalogue');
      checkKnown(list, [...at, 'zoneId'], fixture.zoneId, zones, 'zone of the scheme');
    }
    for (const [i, transformer] of scheme.transformers.entries()) {
      checkKnown(list, ['schemes', s, 'transformers', i, 'powerSiteId'], transformer.powerSiteId, sites, 'power site');
    }
  }
}

function uniqueGroups(d: PropertyDocument): Named[][] {
  // Parts, plants, ground and water share one space: faces, targets and findings name them by id alone.
  const things = [
    ...d.buildings.flatMap((b, i) => named(b.parts, 'buildings', i, 'parts')),
    ...named(d.planting, 'planting'),
    ...named(d.ground.levels, 'ground', 'levels'),
    ...named(d.ground.patches, 'ground', 'patches'),
    ...named(d.water, 'water'),
  ];
  const walls = d.buildings.flatMap((b, i) =>
    b.parts.flatMap((part, p) =>
      part.kind === 'wall'
        ? [
            named(part.openings, 'buildings', i, 'parts', p, 'openings'),
            named(part.courses, 'buildings', i, 'parts', p, 'courses'),
          ]
        : [],
    ),
  );
  const schemes = d.schemes.flatMap((scheme, i) => [
    [...named(d.existing, 'existing'), ...named(scheme.fixtures, 'schemes', i, 'fixtures')],
    named(scheme.zones, 'schemes', i, 'zones'),
    named(scheme.transformers, 'schemes', i, 'transformers'),
    named(scheme.runs, 'schemes', i, 'runs'),
    ...scheme.runs.map((run, r) => named(run.legs, 'schemes', i, 'runs', r, 'legs')),
  ]);
  return [
    things,
    ...walls,
    ...schemes,
    named(d.buildings, 'buildings'),
    named(d.schemes, 'schemes'),
    named(d.catalogue.lamps, 'catalogue', 'lamps'),
    named(d.viewpoints, 'viewpoints'),
    named(d.services, 'services'),
    named(d.powerSites, 'powerSites'),
    named(d.questions, 'questions'),
    named(d.receivers, 'receivers'),
    named(d.site.noLightZones, 'site', 'noLightZones'),
    named(d.site.neighbourWindows, 'site', 'neighbourWindows'),
    ...(d.schemes.length === 0 ? [named(d.existing, 'existing')] : []),
  ];
}

function checkUnique(group: readonly Named[], list: ErrorList): void {
  const seen = new Set<string>();
  for (const { id, steps } of group) {
    if (seen.has(id)) list.add([...steps, 'id'], `id ${id} is used twice`, 'an id of its own');
    seen.add(id);
  }
}

/** Adds an error where an id points at nothing. */
export function checkKnown(
  list: ErrorList,
  steps: readonly PathStep[],
  id: string | undefined,
  known: readonly string[],
  what: string,
): void {
  if (id === undefined || known.includes(id)) return;
  list.add(steps, `there is no ${what} ${id}`, known.length === 0 ? `none is in the file; add a ${what}` : shortList(known));
}

/** Up to a dozen of many, with how many there are. */
export function shortList(all: readonly string[]): string {
  return all.length <= 12 ? all.join(', ') : `${all.slice(0, 12).join(', ')} … (${all.length} in all)`;
}
