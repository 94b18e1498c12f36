import { type FixtureRecord, freshFixture, groundHeightAt, type LampRecord, type Vec3 } from '../../scene/index.ts';
import type { ReviewContext, ReviewLight } from '../context.ts';
import { figure } from '../measure.ts';
import type { SchemeChange } from '../types.ts';
import { add, sub, turned, unit } from '../vec.ts';

/** A change worth trying, in words and as data. */
export interface Candidate {
  text: string;
  change: SchemeChange;
}

export const putLight = (...fixtures: FixtureRecord[]): SchemeChange => ({ fixtures: { put: fixtures } });

export const lampFluxLm = (lamp: LampRecord): number =>
  lamp.distribution.kind === 'model' ? lamp.distribution.fluxLm : (lamp.distribution.declaredFluxLm ?? 0);

export const lampBeamDeg = (lamp: LampRecord): number =>
  lamp.distribution.kind === 'model' ? lamp.distribution.beamAngleFullDeg : 0;

const lampWords = (lamp: LampRecord): string =>
  lamp.distribution.kind === 'model'
    ? `the ${figure(lampFluxLm(lamp))} lm, ${figure(lampBeamDeg(lamp))}° lamp`
    : `the lamp ${lamp.name}`;

/** Catalogue lamps a light may take instead of its own: known lumens, LED kept LED, colour kept first. */
export function otherLamps(context: ReviewContext, light: ReviewLight, fits: (lamp: LampRecord) => boolean): LampRecord[] {
  if (light.fixture.locks.lamp) return [];
  const lamps = context.document.catalogue.lamps.filter(
    (lamp) => lamp.id !== light.lamp.id && lampFluxLm(lamp) > 0 && lamp.electrical === light.lamp.electrical && fits(lamp),
  );
  const sameColour = lamps.filter((lamp) => lamp.cctK === light.lamp.cctK);
  return sameColour.length > 0 ? sameColour : lamps;
}

const byFlux = (down: boolean) => (a: LampRecord, b: LampRecord) => (lampFluxLm(a) - lampFluxLm(b)) * (down ? -1 : 1);

/** Weaker lamps, least step first. */
export function weakerLamps(context: ReviewContext, light: ReviewLight, atMost = 4): Candidate[] {
  return otherLamps(context, light, (lamp) => lampFluxLm(lamp) < lampFluxLm(light.lamp))
    .sort(byFlux(true))
    .slice(0, atMost)
    .map((lamp) => withLamp(light, lamp));
}

/** Stronger or narrower lamps, fewest lumens first. */
export function strongerLamps(context: ReviewContext, light: ReviewLight, atMost = 8): Candidate[] {
  return otherLamps(
    context,
    light,
    (lamp) => lampFluxLm(lamp) > lampFluxLm(light.lamp) || lampBeamDeg(lamp) < lampBeamDeg(light.lamp),
  )
    .sort(byFlux(false))
    .slice(0, atMost)
    .map((lamp) => withLamp(light, lamp));
}

/** Lamps of another beam and no more lumens. */
export function beamLamps(context: ReviewContext, light: ReviewLight, wider: boolean): Candidate[] {
  const own = lampBeamDeg(light.lamp);
  return otherLamps(
    context,
    light,
    (lamp) => lampFluxLm(lamp) <= 1.1 * lampFluxLm(light.lamp) && (wider ? lampBeamDeg(lamp) > own : lampBeamDeg(lamp) < own),
  )
    .sort(byFlux(true))
    .slice(0, 3)
    .map((lamp) => withLamp(light, lamp));
}

export function withLamp(light: ReviewLight, lamp: LampRecord): Candidate {
  const saved = light.lamp.powerW - lamp.powerW;
  const watts = saved > 0.05 ? `, ${figure(saved)} W less` : '';
  return { text: `Give ${light.label} ${lampWords(lamp)}${watts}`, change: putLight({ ...light.fixture, lampId: lamp.id }) };
}

/** Light set at another place at the same height above its ground; it keeps its aim. */
export function movedTo(context: ReviewContext, fixture: FixtureRecord, at: Vec3): FixtureRecord {
  const rise = groundHeightAt(context.document, at[0], at[2]) - groundHeightAt(context.document, fixture.at[0], fixture.at[2]);
  return { ...fixture, at: [round(at[0]), round(fixture.at[1] + rise), round(at[2])] };
}

const round = (m: number): number => Math.round(m * 1000) / 1000;

/** Light turned about the upright through it. */
export function turnedBy(light: ReviewLight, deg: number): Candidate[] {
  const { fixture } = light;
  const beam = sub(fixture.aim, fixture.at);
  if (fixture.locks.aim || Math.hypot(beam[0], beam[2]) < 1e-3) return [];
  const aim = add(fixture.at, turned(beam, deg));
  return [
    { text: `Turn ${light.label} ${Math.abs(deg)}° to the ${deg > 0 ? 'right' : 'left'}`, change: putLight({ ...fixture, aim }) },
  ];
}

/** Light aimed higher (or lower) by a length at its aim. */
export function aimRaised(light: ReviewLight, byM: number): Candidate[] {
  const { fixture } = light;
  if (fixture.locks.aim) return [];
  const aim = add(fixture.aim, [0, byM, 0]);
  const words = `${Math.abs(byM).toFixed(1)} m ${byM > 0 ? 'higher' : 'lower'}`;
  return [{ text: `Aim ${light.label} ${words}`, change: putLight({ ...fixture, aim }) }];
}

const SHIELD_WORDS = { louvre: 'a louvre', shroud: 'a shroud', halfShield: 'a half shield' } as const;

/** Light with a shield at its own or a tighter cut-off. */
export function shielded(light: ReviewLight): Candidate[] {
  const { fixture } = light;
  if (fixture.locks.lamp) return [];
  const kinds = (['shroud', 'louvre'] as const).flatMap((kind) => [45, 30].map((cutOffDeg) => ({ kind, cutOffDeg })));
  return kinds
    .filter(({ kind, cutOffDeg }) => fixture.shield.kind !== kind || fixture.shield.cutOffDeg > cutOffDeg)
    .map((shield) => ({
      text: `Add ${SHIELD_WORDS[shield.kind]}, cut-off ${shield.cutOffDeg}°, to ${light.label}`,
      change: putLight({ ...fixture, shield: { ...fixture.shield, ...shield } }),
    }));
}

/** Light dimmed to a share of what it gives now. */
export function dimmed(light: ReviewLight, share: number): Candidate {
  const dim = Math.round(light.fixture.dim * share * 100) / 100;
  return { text: `Dim ${light.label} to ${Math.round(dim * 100)} %`, change: putLight({ ...light.fixture, dim }) };
}

/** A new light with the first free id `L1, L2 …`; not wired until it joins a run. */
export function newLight(
  context: ReviewContext,
  options: { at: Vec3; aim: Vec3; lampId: string; mount: FixtureRecord['mount']; name: string; targetId?: string; nth?: number },
): FixtureRecord {
  const used = new Set([...context.scheme.fixtures, ...context.document.existing].map((one) => one.id));
  const { nth = 0, ...fields } = options;
  let id = 'L1';
  for (let n = 1, free = -1; free < nth; n++) {
    id = `L${n}`;
    if (!used.has(id)) free++;
  }
  return freshFixture({ ...fields, id, reason: 'Proposed by the review.' });
}

/** Catalogue lamps for a wash: widest first, fewest lumens first among equals. */
export function washLamps(context: ReviewContext): LampRecord[] {
  return context.document.catalogue.lamps
    .filter((lamp) => lamp.electrical === 'constantPower' && lampFluxLm(lamp) > 0)
    .sort((a, b) => lampBeamDeg(b) - lampBeamDeg(a) || lampFluxLm(a) - lampFluxLm(b))
    .slice(0, 4);
}

/** Direction in plan from one point to another. */
export const planDirection = (from: Vec3, to: Vec3): Vec3 => unit([to[0] - from[0], 0, to[2] - from[2]]);
