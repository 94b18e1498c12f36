import type { PlantRecord, Vec3 } from '../records/index.ts';
import { type LeafCard, toneOf } from './leaves.ts';
import type { Dice } from './random.ts';
import { createRipple } from './scatter.ts';
import type { Bush } from './shrub.ts';
import { addNode, colonise, type Skeleton } from './skeleton.ts';
import { mixed } from './vectors.ts';

/** Leaf area as if this share of the wall were covered in full. */
const COVER = { thin: 0.4, medium: 0.65, dense: 0.92 } as const;
/** One-sided leaf area over covered wall: leaves overlap like tiles. */
const LAYERS = 1.9;

interface Cell {
  x: number;
  y: number;
  score: number;
  /** Leaf area, share of a full cell's. */
  full: number;
}

/**
 * A climber clings to its wall: leaves nearly flat on it, thickest along the stems, thinner between them. Local x runs along
 * the wall, +z away from it.
 */
export function growClimber(
  record: PlantRecord,
  mostCards: number,
  cover: number,
  dice: Dice,
): { bush: Bush; skeleton: Skeleton } {
  const depthM = record.heightM - record.crownBaseM;
  const share = COVER[record.density];
  const areaM2 = record.spreadM * depthM * share;
  const sideM = Math.max(0.2, Math.sqrt((LAYERS * areaM2) / (mostCards * cover)));
  const cellM = Math.max(1.15 * sideM, 0.24);
  const cells = coveredCells(record, share, cellM, dice);
  const perCell = (LAYERS * cellM * cellM) / (cover * sideM * sideM);
  let carry = 0;
  const masses = cells.map(({ x, y, score, full }) => {
    carry += perCell * full;
    const count = Math.floor(carry);
    carry -= count;
    const tone = dice.range(0.85, 1.15);
    const cards = Array.from({ length: count }, (): LeafCard => {
      const deep = 0.012 + 0.09 * dice.next() ** 1.6 * Math.min(1, 0.4 + score);
      return {
        at: [x + dice.range(-0.52, 0.52) * cellM, y + dice.range(-0.52, 0.52) * cellM, deep + 0.02],
        normal: mixed([[0, 0.25, 1], 1], [dice.direction(), 0.42]),
        up: mixed([[dice.range(-0.7, 0.7), -1, 0.3], 1]),
        sideM: sideM * dice.range(0.85, 1.15),
        tile: Math.floor(dice.range(0, 4)),
        brightness: toneOf(tone, dice),
      };
    });
    /* The sphere sits half in the wall, so that its outer leaves are its outer side. */
    return { at: [x, y, 0.045] as Vec3, radiusM: cellM * 0.6, cards };
  });
  const bush: Bush = { masses: masses.filter((mass) => mass.cards.length > 0), volumeM3: areaM2 * 0.14 };
  return { bush, skeleton: growRunners(record, cells, cellM, dice) };
}

/** So many times the cells that the share would fill have leaves: full along the stems, thinner outward, no bare wall between. */
const SPREAD_OUT = 1.7;
const THINNEST = 0.25;

/** The best-rated cells of the wall, the leaf area of as many as the share asks for; the topmost, lowest and outermost among them. */
function coveredCells(record: PlantRecord, share: number, cellM: number, dice: Dice): Cell[] {
  const depthM = record.heightM - record.crownBaseM;
  const across = Math.max(2, Math.round(record.spreadM / cellM));
  const up = Math.max(2, Math.round(depthM / cellM));
  const patches = createRipple(dice, 0.75);
  const fine = createRipple(dice, 0.28);
  const arms = Array.from({ length: 4 }, (_, i) => ({
    foot: dice.range(-0.22, 0.22) * record.spreadM,
    tip: (-0.5 + (i + dice.range(0.2, 0.8)) / 4) * record.spreadM,
  }));
  const cells: Cell[] = [];
  for (let j = 0; j < up; j++)
    for (let i = 0; i < across; i++) {
      const x = -record.spreadM / 2 + (record.spreadM * (i + 0.5)) / across;
      const h = (j + 0.5) / up;
      let near = Infinity;
      for (const arm of arms) near = Math.min(near, Math.abs(x - arm.foot - (arm.tip - arm.foot) * h ** 0.8));
      const score =
        0.6 - (1.5 * near) / record.spreadM - 0.42 * h ** 2 + 0.2 * patches(x, h * depthM) + 0.1 * fine(x, h * depthM);
      cells.push({ x, y: record.crownBaseM + depthM * h, score, full: 0 });
    }
  const wanted = Math.max(4, Math.round(cells.length * share));
  const many = Math.min(cells.length, Math.round(wanted * SPREAD_OUT));
  const kept = [...cells].sort((a, b) => b.score - a.score).slice(0, many);
  /* From the fullest to the thinnest in even steps, the mean that of the share. */
  const mean = wanted / many;
  const least = Math.min(mean, Math.max(THINNEST, 2 * mean - 1.4));
  kept.forEach((cell, i) => {
    cell.full = 2 * mean - least - (2 * (mean - least) * (i + 0.5)) / many;
  });
  /* The record's sizes are the plant's: its best cell of each border belongs to it. */
  const best = (of: Cell[]) => of.reduce((a, b) => (b.score > a.score ? b : a));
  for (const edge of [
    cells.slice(0, across),
    cells.slice(-across),
    cells.filter((_, i) => i % across === 0),
    cells.filter((_, i) => i % across === across - 1),
  ]) {
    const cell = best(edge);
    if (kept.includes(cell)) continue;
    cell.full = THINNEST;
    kept.push(cell);
  }
  return kept;
}

/** Stems that run over the wall to the covered places. */
function growRunners(record: PlantRecord, cells: Cell[], cellM: number, dice: Dice): Skeleton {
  const skeleton: Skeleton = { at: [], parent: [] };
  for (const x of [-0.14, 0.02, 0.17]) {
    const root = addNode(skeleton, [x * record.spreadM * 0.6, 0, 0.03], -1);
    addNode(skeleton, [x * record.spreadM * 0.7 + dice.range(-0.03, 0.03), Math.min(0.25, record.heightM * 0.1), 0.025], root);
  }
  const goals = cells.map(({ x, y }): Vec3 => [x + dice.range(-0.3, 0.3) * cellM, y, 0.022]);
  colonise(skeleton, goals, Math.max(0.09, cellM * 0.4), cellM * 0.7, 0.12, 700);
  return skeleton;
}
