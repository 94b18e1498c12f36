import { createErrorList, isRecord, type PropertyError } from './errors.ts';

/** Largest property this program takes (design table "sizes allowed"). */
export const LARGEST = { fixtures: 500, parts: 5000, lotM2: 40_000 } as const;

const listOf = (value: unknown): readonly unknown[] => (Array.isArray(value) ? value : []);

/** Counts lights, parts and lot of a file before anything is built from it. */
export function checkLimits(file: Record<string, unknown>): PropertyError[] {
  const list = createErrorList(file);
  checkFixtures(file, list.add);
  const parts = listOf(file.buildings).flatMap((b) => (isRecord(b) ? listOf(b.parts) : [])).length + listOf(file.planting).length;
  if (parts > LARGEST.parts) {
    list.add(['buildings'], `${parts} parts and plants, more than this program takes`, `at most ${LARGEST.parts}`);
  }
  checkAreas(file, list.add);
  return list.errors;
}

type Add = (steps: readonly (string | number)[], reason: string, accepted: string) => void;

function checkFixtures(file: Record<string, unknown>, add: Add): void {
  const existing = listOf(file.existing).length;
  if (existing > LARGEST.fixtures)
    add(['existing'], `${existing} lights, more than this program takes`, `at most ${LARGEST.fixtures}`);
  listOf(file.schemes).forEach((scheme, i) => {
    const own = isRecord(scheme) ? listOf(scheme.fixtures).length : 0;
    if (own > 0 && own + existing > LARGEST.fixtures) {
      const reason = `${own + existing} lights with the existing ones, more than this program takes`;
      add(['schemes', i, 'fixtures'], reason, `at most ${LARGEST.fixtures}`);
    }
  });
}

function checkAreas(file: Record<string, unknown>, add: Add): void {
  const boundary = isRecord(file.site) ? outlineAreaM2(file.site.boundary) : 0;
  if (boundary > LARGEST.lotM2)
    add(['site', 'boundary'], `a lot of ${hectares(boundary)}, more than this program takes`, 'at most 4 ha');
  const levels = isRecord(file.ground) ? listOf(file.ground.levels) : [];
  const ground = levels.reduce((sum: number, l) => sum + (isRecord(l) ? outlineAreaM2(l.outline) : 0), 0);
  if (ground > LARGEST.lotM2)
    add(['ground', 'levels'], `${hectares(ground)} of ground, more than this program takes`, 'at most 4 ha');
}

const hectares = (areaM2: number): string => `${(areaM2 / 10_000).toFixed(2)} ha`;

/** Area within an outline, m² (shoelace); 0 for what is no outline. */
function outlineAreaM2(outline: unknown): number {
  const points = listOf(outline).filter(
    (p): p is [number, number] => Array.isArray(p) && typeof p[0] === 'number' && typeof p[1] === 'number',
  );
  let twice = 0;
  points.forEach(([x, z], i) => {
    const [nextX, nextZ] = points[(i + 1) % points.length]!;
    twice += x * nextZ - nextX * z;
  });
  return Math.abs(twice) / 2;
}
