import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { luminanceOf } from '../../../src/exposure/index.ts';
import type { Vec3 } from '../../../src/scene/index.ts';
import { placesOf, solved, tracerOf } from './judge.ts';
import { type PathScene, pathScenes, sceneOf } from './scenes.ts';
import { dice } from './lamps.ts';

/**
 * Kept references: `GLOAMING_MAKE_PATHS=1 npx vitest run --config .config/vitest.config.ts tests/lights/paths` makes those
 * that are missing (minutes). The inputs are the properties of scenes.ts; seeds and counts stand in the files.
 */
const MAKE = process.env.GLOAMING_MAKE_PATHS === '1';
const SEEDS = { places: 17, paths: 23 };
const PLACES = 60;
const SIDE = 200;

interface Kept {
  command: string;
  seeds: typeof SEEDS;
  pathsAPlace: number;
  places: { face: string; at: Vec3; directLx: number; indirectRgbLx: Vec3; standardError: number }[];
}

/**
 * Share of the light at a place that is wrong, |Δ| ÷ max(E, 0.1 lx), E direct and bounced together as the eye gets it: bars
 * of median and 95th percentile. `bounced`: bar of the median of the bounced light alone, every channel.
 */
const BARS: Record<string, { median: number; high: number; bounced: number }> = {
  court: { median: 0.03, high: 0.1, bounced: 0.03 },
  room: { median: 0.03, high: 0.06, bounced: 0.03 },
  corner: { median: 0.03, high: 0.15, bounced: 0.03 },
  arch: { median: 0.03, high: 0.22, bounced: 0.03 },
  pergola: { median: 0.03, high: 0.1, bounced: 0.03 },
  hood: { median: 0.03, high: 0.2, bounced: 0.05 },
  rooms: { median: 0.03, high: 0.06, bounced: 0.03 },
  pool: { median: 0.03, high: 0.1, bounced: 0.04 },
  crowns: { median: 0.03, high: 0.25, bounced: 0.14 },
};
/** Scenes judged in every run; the others with `GLOAMING_ALL_PATHS=1`, for they take longer. */
const ALWAYS = ['room', 'rooms', 'crowns'];

const fileOf = (name: string): URL => new URL(`../../reference/paths/${name}.json`, import.meta.url);

function made(asked: PathScene): Kept {
  const scene = sceneOf(asked);
  const tracer = tracerOf(scene, asked);
  const random = dice(SEEDS.paths);
  return {
    command: 'GLOAMING_MAKE_PATHS=1 npx vitest run --config .config/vitest.config.ts tests/lights/paths',
    seeds: SEEDS,
    pathsAPlace: SIDE * SIDE,
    places: placesOf(scene, asked, PLACES, SEEDS.places).map((p) => {
      const { normal, id } = scene.faces[p.face]!;
      const { rgb, error } = tracer.indirect(p.at, normal, SIDE, random);
      const six = (v: number): number => Number(v.toPrecision(6));
      return {
        face: id,
        at: [six(p.at[0]), six(p.at[1]), six(p.at[2])],
        directLx: six(tracer.direct(p.at, normal)),
        indirectRgbLx: [six(rgb[0]), six(rgb[1]), six(rgb[2])],
        standardError: six(error),
      };
    }),
  };
}

describe('bounced light in the field against a path tracer of its own (kept output, seeds 17 and 23)', () => {
  for (const asked of pathScenes()) {
    if (MAKE && !existsSync(fileOf(asked.name))) {
      it(`${asked.name}: reference made`, { timeout: 3_600_000 }, () => {
        writeFileSync(fileOf(asked.name), `${JSON.stringify(made(asked), undefined, 1)}\n`);
      });
    }
    if (!ALWAYS.includes(asked.name) && process.env.GLOAMING_ALL_PATHS !== '1') continue;
    it(`${asked.name}: total light within its bars`, () => {
      const kept = JSON.parse(readFileSync(fileOf(asked.name), 'utf8')) as Kept;
      const scene = sceneOf(asked);
      const places = placesOf(scene, asked, PLACES, SEEDS.places);
      const moved = places.filter((p, i) => p.at.some((v, k) => Math.abs(v - kept.places[i]!.at[k]!) > 1e-3));
      expect(moved, 'the scene is not the one the reference was made from').toEqual([]);
      const { field } = solved(scene, asked, places);
      const total: number[] = [];
      const bounced: number[] = [];
      kept.places.forEach(({ directLx, indirectRgbLx: ref }, i) => {
        const got = field[i]!;
        const most = Math.max(...[0, 1, 2].map((k) => Math.abs(got[k]! - ref[k]!) / Math.max(ref[k]!, 0.1)));
        bounced.push(most);
        total.push(Math.abs(luminanceOf(got) - luminanceOf(ref)) / Math.max(0.1, directLx + luminanceOf(ref)));
      });
      const at = (list: number[], share: number): number => list.sort((a, b) => a - b)[Math.floor(list.length * share)]!;
      const found = { median: at(total, 0.5), high: at(total, 0.95), bounced: at(bounced, 0.5) };
      if (process.env.GLOAMING_ALL_PATHS === '1') {
        const percent = (v: number): string => (v * 100).toFixed(1);
        console.log(
          asked.name,
          Object.values(found).map(percent).join(' / '),
          'bounced 95th, max',
          percent(at(bounced, 0.95)),
          percent(at(bounced, 0.999)),
        );
      }
      const bar = BARS[asked.name]!;
      expect(found.median, 'median of all light').toBeLessThan(bar.median);
      expect(found.high, '95th percentile of all light').toBeLessThan(bar.high);
      expect(found.bounced, 'median of bounced light').toBeLessThan(bar.bounced);
    });
  }
});
