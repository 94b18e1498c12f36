import { findFixture, freeId, freeLegs, GUESSED_DETOUR, withScheme } from '../../../editor/index.ts';
import type { LegRecord, PropertyDocument, RunRecord, SchemeRecord, Vec3 } from '../../../scene/index.ts';
import { distance } from '../../picture/vec.ts';
import type { App } from '../../state/app.ts';

/** A, B, C … by what is free. */
function freeLetter(used: readonly string[]): string {
  for (let i = 0; i < 26; i++) {
    const letter = String.fromCharCode(65 + i);
    if (!used.includes(letter)) return letter;
  }
  return freeId('R', used);
}

function edit(app: App, label: string, change: (scheme: SchemeRecord, document: PropertyDocument) => SchemeRecord): void {
  const { schemeId } = app.editor.store.getState().session;
  app.editor.edit(label, (d) => withScheme(d, schemeId, (s) => change(s, d)));
}

export function addTransformer(app: App): void {
  edit(app, 'add transformer', (scheme, document) => {
    const id = freeId(
      'T',
      scheme.transformers.map((t) => t.id),
    );
    const site = document.powerSites[0];
    const at: Vec3 = site?.at ?? [0, 0.5, 0];
    return {
      ...scheme,
      transformers: [...scheme.transformers, { id, name: id, powerSiteId: site?.id, at, capacityVa: 150, notes: '' }],
    };
  });
}

export function addRun(app: App): void {
  edit(app, 'add run', (scheme) => {
    const transformer = scheme.transformers[0];
    if (!transformer) return scheme;
    const name = freeLetter(scheme.runs.map((r) => r.name));
    const id = freeId(
      'run-',
      scheme.runs.map((r) => r.id),
    );
    const run: RunRecord = {
      id,
      name,
      transformerId: transformer.id,
      tapV: 12,
      gauge: { kind: 'awg', awg: 12 },
      topology: 'daisy',
      slackShare: 0.15,
      legs: [],
    };
    return { ...scheme, runs: [...scheme.runs, run] };
  });
}

export function changeRun(app: App, what: string, run: RunRecord, patch: Partial<RunRecord>): void {
  edit(app, `${what} of run ${run.name}`, (scheme) => ({
    ...scheme,
    runs: scheme.runs.map((r) => (r.id === run.id ? { ...r, ...patch } : r)),
  }));
}

/** Changes fields of one leg; `undefined` takes a field out. */
export function changeLeg(app: App, run: RunRecord, leg: LegRecord, what: string, patch: Partial<LegRecord>): void {
  const next = Object.fromEntries(Object.entries({ ...leg, ...patch }).filter(([, v]) => v !== undefined)) as LegRecord;
  changeRun(app, what, run, { legs: run.legs.map((l) => (l.id === leg.id ? next : l)) });
}

/** True where `other` is the leg itself or is fed through it: starting there would close a ring. */
export function isBeyond(run: RunRecord, leg: LegRecord, other: LegRecord): boolean {
  let at: LegRecord | undefined = other;
  for (let i = 0; at && i <= run.legs.length; i++) {
    if (at.id === leg.id) return true;
    const { fromId }: LegRecord = at;
    at = fromId === undefined ? undefined : run.legs.find((l) => l.id === fromId);
  }
  return false;
}

/** A bare joint at the transformer's side, for a tee or a hub; its legs are then started there. */
export function addJoint(app: App, run: RunRecord): void {
  const id = freeId(
    'joint-',
    run.legs.map((l) => l.id),
  );
  changeRun(app, 'add joint', run, { legs: [...run.legs, { id, lengthM: 1, lengthGuessed: true }] });
}

export function removeLeg(app: App, run: RunRecord, leg: LegRecord): void {
  changeRun(app, 'remove joint', run, { legs: run.legs.filter((l) => l.id !== leg.id) });
}

export function removeRun(app: App, run: RunRecord): void {
  edit(app, `remove run ${run.name}`, (scheme) => ({ ...scheme, runs: scheme.runs.filter((r) => r.id !== run.id) }));
}

function legEnd(document: PropertyDocument, scheme: SchemeRecord, run: RunRecord, leg: LegRecord | undefined): Vec3 | undefined {
  if (!leg) return scheme.transformers.find((t) => t.id === run.transformerId)?.at;
  const fixture = leg.fixtureId === undefined ? undefined : findFixture(document, scheme.id, leg.fixtureId);
  return fixture?.at ?? leg.path?.[leg.path.length - 1];
}

/** Puts a light on a run by a leg of guessed length from the run's last end. */
export function joinRun(app: App, fixtureId: string, runId: string): void {
  edit(app, 'join a run', (scheme, document) => {
    const fixture = scheme.fixtures.find((f) => f.id === fixtureId);
    const run = scheme.runs.find((r) => r.id === runId);
    if (!fixture || !run) return scheme;
    const last = run.topology === 'hub' ? run.legs[0] : run.legs[run.legs.length - 1];
    const from = legEnd(document, scheme, run, last);
    const lengthM = Math.max(0.5, Math.round((from ? distance(from, fixture.at) : 5) * GUESSED_DETOUR * 10) / 10);
    const leg: LegRecord = {
      id: freeId(
        'leg-',
        run.legs.map((l) => l.id),
      ),
      fromId: last?.id,
      lengthM,
      lengthGuessed: true,
      fixtureId,
    };
    return { ...scheme, runs: scheme.runs.map((r) => (r.id === run.id ? { ...r, legs: [...r.legs, leg] } : r)) };
  });
}

/** Takes one light off its run; legs beyond it stay joined. */
export function leaveRun(app: App, run: RunRecord, fixtureId: string): void {
  edit(app, 'take a light off its run', (scheme) => ({
    ...scheme,
    runs: scheme.runs.map((r) => (r.id === run.id ? freeLegs(r, [fixtureId]) : r)),
  }));
}

/**
 * *Split this run*: the farther half of its legs goes to a new run of the same transformer, tap and gauge, reached by a
 * home cable as long as the way the old one took. One undo step.
 */
export function splitRun(app: App, run: RunRecord): void {
  edit(app, `split run ${run.name}`, (scheme) => {
    const half = Math.ceil(run.legs.length / 2);
    const near = run.legs.slice(0, half);
    const far = run.legs.slice(half);
    const first = far[0];
    if (!first) return scheme;
    const nearIds = new Set(near.map((l) => l.id));
    const wayHome = (leg: LegRecord): number => {
      const parent = run.legs.find((l) => l.id === leg.fromId);
      return leg.lengthM + (parent ? wayHome(parent) : 0);
    };
    const homed = far.map((leg) =>
      leg.fromId === undefined || nearIds.has(leg.fromId)
        ? { ...leg, fromId: undefined, lengthM: wayHome(leg), lengthGuessed: true }
        : leg,
    );
    const name = freeLetter(scheme.runs.map((r) => r.name));
    const id = freeId(
      'run-',
      scheme.runs.map((r) => r.id),
    );
    return {
      ...scheme,
      runs: [...scheme.runs.map((r) => (r.id === run.id ? { ...r, legs: near } : r)), { ...run, id, name, legs: homed }],
    };
  });
  app.say(`Run ${run.name} split. Volts per lamp follow.`);
}
