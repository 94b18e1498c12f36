import type { LeafSheet } from '../../scene/index.ts';

/**
 * One leaf, needle, blade or twig of a tile, in tile units −1 … 1, y toward the sprig's tip. It starts at (x, y) and runs along
 * `turn` (radians from +x).
 */
export interface Leaf {
  x: number;
  y: number;
  turn: number;
  length: number;
  /** Half width at the widest, share of the length. */
  wide: number;
  shape: 'leaf' | 'oval' | 'lance' | 'line' | 'lobed';
  /** Sideways bend of the tip, share of the length. */
  bend: number;
  tiltX: number;
  tiltY: number;
  fold: number;
  brightness: number;
}

type Random = () => number;

const leaf = (part: Partial<Leaf> & Pick<Leaf, 'x' | 'y' | 'turn' | 'length'>, random: Random): Leaf => ({
  wide: 0.3,
  shape: 'leaf',
  bend: 0,
  tiltX: (random() - 0.5) * 1.1,
  tiltY: (random() - 0.5) * 1.1,
  fold: 0.25 + 0.35 * random(),
  brightness: 0.62 + 0.38 * random(),
  ...part,
});
const line = (x: number, y: number, turn: number, length: number, wide: number, random: Random, bend = 0): Leaf =>
  leaf({ x, y, turn, length, wide, bend, shape: 'line', tiltX: (random() - 0.5) * 0.7, tiltY: (random() - 0.5) * 0.7 }, random);

interface Twig {
  x: number;
  y: number;
  turn: number;
  length: number;
}
const onTwig = ({ x, y, turn, length }: Twig, t: number) => ({
  x: x + t * length * Math.cos(turn),
  y: y + t * length * Math.sin(turn),
});

/** Leaves in two ranks along a twig, one at its tip. */
function leafTwig(twig: Twig, count: number, lengthOf: number, look: Partial<Leaf>, spread: number, random: Random): Leaf[] {
  return Array.from({ length: count }, (_, i) => {
    const t = (i + 0.6) / count;
    const p = onTwig(twig, t);
    const side = i === count - 1 ? 0 : i % 2 === 0 ? 1 : -1;
    return leaf(
      {
        ...p,
        turn: twig.turn + side * spread * (0.75 + 0.5 * random()) + (random() - 0.5) * 0.3,
        length: lengthOf * (0.72 + 0.56 * random()),
        ...look,
      },
      random,
    );
  });
}

/** A leading twig and side twigs that leave it left and right. */
function branching(sides: number, angle: number, from: number, to: number, random: Random, length = 1.72): Twig[] {
  const lean = (random() - 0.5) * 0.3;
  const main: Twig = { x: -lean * 0.6, y: -0.95, turn: Math.PI / 2 + lean, length };
  const twigs = [main];
  for (let i = 0; i < sides; i++) {
    const t = 0.06 + (0.84 * (i + random() * 0.6)) / sides;
    const hand = i % 2 === 0 ? 1 : -1;
    const fall = from + (to - from) * t;
    twigs.push({
      ...onTwig(main, t),
      turn: main.turn + hand * angle * (0.8 + 0.4 * random()),
      length: fall * (0.75 + 0.5 * random()),
    });
  }
  return twigs;
}

/** The twig itself: leaves that hang on nothing look pasted into the air. */
function stem({ x, y, turn, length }: Twig, random: Random): Leaf {
  return { ...line(x, y, turn, length, 0.012 / (0.4 + length), random), brightness: 0.5 };
}

const broad = (random: Random): Leaf[] =>
  branching(4, 0.85, 0.75, 0.5, random, 1.5).flatMap((twig, i) => [
    stem(twig, random),
    ...leafTwig(twig, i === 0 ? 7 : 4, 0.4, {}, 0.9, random),
  ]);

/** A branching of its own foot, turn and size in the tile. */
function sprig(x: number, y: number, turn: number, size: number, random: Random): Twig[] {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return branching(6, 0.9, 0.85, 0.4, random, 1.6).map((twig) => ({
    x: x + size * (c * twig.x - s * (twig.y + 0.95)),
    y: y + size * (s * twig.x + c * (twig.y + 0.95)),
    turn: twig.turn + turn,
    length: twig.length * size,
  }));
}

/** Three sprigs apart: one that filled its card would look like a single large leaf from afar. */
const fine = (random: Random): Leaf[] =>
  [
    [-0.42, -0.96, 0.28, 0.64],
    [0.5, -0.9, -0.12, 0.56],
    [0.06, -0.3, -0.3, 0.68],
  ].flatMap(([x, y, turn, size]) =>
    sprig(x!, y!, turn!, size!, random).flatMap((twig, i) => [
      stem(twig, random),
      ...leafTwig(twig, i === 0 ? 9 : 5, 0.2, {}, 0.9, random),
    ]),
  );

/** Slender shoots side by side, of different length: narrow leaves seldom make a fan. */
const narrow = (random: Random): Leaf[] =>
  [-0.62, -0.2, 0.24, 0.64].flatMap((x) => {
    const twig: Twig = {
      x,
      y: -0.96 + 0.3 * random(),
      turn: Math.PI / 2 - 0.16 * x + (random() - 0.5) * 0.3,
      length: 1 + 0.6 * random(),
    };
    const look = { shape: 'lance', wide: 0.1, bend: (random() - 0.5) * 0.3 } as const;
    return [stem(twig, random), ...leafTwig(twig, Math.round(13 * twig.length), 0.38, look, 0.5, random)];
  });

const box = (random: Random): Leaf[] =>
  branching(10, 1.05, 0.95, 0.5, random, 1.66).flatMap((twig, i) =>
    leafTwig(twig, i === 0 ? 15 : 9, 0.165, { shape: 'oval', wide: 0.34 }, 1, random),
  );

const ivy = (random: Random): Leaf[] =>
  Array.from({ length: 15 }, (_, i) => {
    const row = Math.floor(i / 4);
    return leaf(
      {
        x: -0.72 + 0.48 * (i % 4) + 0.2 * (row % 2) + (random() - 0.5) * 0.26,
        y: 0.8 - 0.5 * row + (random() - 0.5) * 0.26,
        turn: -Math.PI / 2 + (random() - 0.5) * 1.5,
        length: 0.44 * (0.6 + 0.7 * random()),
        shape: 'lobed',
        wide: 0.5,
        tiltX: (random() - 0.5) * 0.8,
        tiltY: (random() - 0.5) * 0.8,
      },
      random,
    );
  });

/**
 * A flat spray, open all over its tile: slender shoots leave a leading one left and right, each a feather of fine needles no wider than
 * the gap to the next, so that far copies still part into streaks and no card has an outline of its own.
 */
function needle(random: Random): Leaf[] {
  return openSpray(random).flatMap((twig, i) => {
    const count = Math.round(62 * Math.max(0.35, twig.length));
    const rib = line(twig.x, twig.y, twig.turn, twig.length, 0.006, random);
    rib.brightness = 0.6;
    const needles = Array.from({ length: count }, (_, k) => {
      const t = (k + 0.3) / count;
      const p = onTwig(twig, t);
      const side = k % 2 === 0 ? 1 : -1;
      const open = (0.62 - 0.3 * t) * (0.75 + 0.5 * random());
      const own = line(p.x, p.y, twig.turn + side * open, (i === 0 ? 0.14 : 0.125) * (0.75 + 0.5 * random()), 0.07, random);
      own.brightness = 0.82 + 0.18 * random();
      return own;
    });
    return [rib, ...needles];
  });
}

/** Leading shoot and side shoots that run on to the edge of the tile or end short of it. */
function openSpray(random: Random): Twig[] {
  const lean = (random() - 0.5) * 0.25;
  const main: Twig = { x: -lean * 0.8, y: -0.97, turn: Math.PI / 2 + lean, length: 1.8 };
  const twigs = [main];
  for (let i = 0; i < 11; i++) {
    const from = onTwig(main, -0.04 + (0.86 * (i + 0.5 * random())) / 11);
    const hand = i % 2 === 0 ? 1 : -1;
    const turn = main.turn + hand * (0.72 + 0.3 * random());
    const toSide = (0.93 + hand * from.x) / Math.max(0.2, Math.abs(Math.cos(turn)));
    const toTop = (0.95 - from.y) / Math.max(0.2, Math.sin(turn));
    twigs.push({ ...from, turn, length: Math.max(0.25, Math.min(toSide, toTop, 1.3) * (0.66 + 0.3 * random())) });
  }
  return twigs;
}

/** Half a frond: rib on the left edge, leaflets to the right and ahead; the last tile ends the frond. */
function frond(random: Random, tile: number): Leaf[] {
  const tip = tile === 3;
  const count = 15;
  const rib = line(-0.985, -1, Math.PI / 2, 2, 0.014, random);
  rib.brightness = 0.9;
  const leaflets = Array.from({ length: count }, (_, i) => {
    const t = (i + 0.5 * random()) / count;
    const length = tip ? 1.85 - 1.25 * t : 1.9 * (0.9 + 0.15 * random());
    const angle = tip ? 0.5 + 0.75 * t : 0.42 + 0.12 * random();
    return leaf(
      {
        x: -0.98,
        y: -1.08 + (tip ? 1.75 : 1.72) * t,
        turn: angle,
        length,
        wide: 0.034,
        shape: 'lance',
        bend: -0.1 - 0.12 * random(),
        tiltX: (random() - 0.5) * 0.5,
        tiltY: 0.25 * (i % 2 === 0 ? 1 : -1) + (random() - 0.5) * 0.5,
        fold: 0.45,
      },
      random,
    );
  });
  return [rib, ...leaflets];
}

/** A fan of blades from the middle of the lower edge, the outer ones shorter and bowed over; the last tile is a plume. */
function blade(random: Random, tile: number): Leaf[] {
  if (tile === 3) return plume(random);
  return Array.from({ length: 64 }, (_, i) => {
    const t = (i + random()) / 64 - 0.5;
    return leaf(
      {
        x: t * 1.15,
        y: -1 + (random() < 0.25 ? random() * 0.4 : 0),
        turn: Math.PI / 2 - t * 0.6 + (random() - 0.5) * 0.16,
        length: (1.95 - 1.0 * Math.abs(t)) * (0.42 + 0.58 * random() ** 0.8),
        wide: 0.009,
        shape: 'lance',
        bend: (random() - 0.5) * 0.34 - t * 0.6,
        fold: 0.3,
      },
      random,
    );
  });
}

/** Short hairs along a stalk that nods. */
function plume(random: Random): Leaf[] {
  const stalk = line(-0.12, -1, Math.PI / 2 - 0.07, 1.6, 0.006, random);
  const hairs = Array.from({ length: 190 }, (_, i) => {
    const t = (i + random()) / 190;
    const hand = i % 2 === 0 ? 1 : -1;
    const reach = 0.05 + 0.12 * Math.sin(Math.PI * Math.min(1, t * 0.8 + 0.12));
    const x = -0.08 + 0.07 * t + 0.1 * t * t;
    return line(
      x,
      -0.4 + 1.25 * t,
      Math.PI / 2 - 0.15 * t - hand * (0.25 + 0.45 * random()),
      reach * (0.7 + 0.6 * random()),
      0.02,
      random,
    );
  });
  return [stalk, ...hairs];
}

/** A bare sprig: three orders of twigs. */
function twig(random: Random): Leaf[] {
  const first = branching(7, 0.72, 1.15, 0.45, random);
  return first.flatMap((t, i) => {
    const own = line(t.x, t.y, t.turn, t.length, i === 0 ? 0.014 : 0.013, random, (random() - 0.5) * 0.25);
    const shoots = Array.from({ length: i === 0 ? 2 : 5 }, (_, k) => {
      const p = onTwig(t, 0.25 + (0.7 * (k + random())) / 5);
      return line(
        p.x,
        p.y,
        t.turn + (k % 2 === 0 ? 1 : -1) * (0.5 + 0.4 * random()),
        0.42 * (0.6 + 0.7 * random()),
        0.016,
        random,
        (random() - 0.5) * 0.3,
      );
    });
    return [own, ...shoots];
  });
}

interface SheetRecipe {
  lay: (random: Random, tile: number) => Leaf[];
  /** Factor of the leaves' width (and, where `grows`, length) at which the sheet's cover comes out; saves rounds of painting. */
  scale: number;
  /** Leaves grow as a whole; false: only their width does. */
  grows: boolean;
}

export const SHEETS: Record<LeafSheet, SheetRecipe> = {
  broad: { lay: broad, scale: 0.938775, grows: true },
  fine: { lay: fine, scale: 0.845702, grows: true },
  narrow: { lay: narrow, scale: 0.886438, grows: false },
  box: { lay: box, scale: 0.940445, grows: true },
  needle: { lay: needle, scale: 1.538239, grows: false },
  frond: { lay: frond, scale: 0.559552, grows: false },
  blade: { lay: blade, scale: 1.751803, grows: false },
  ivy: { lay: ivy, scale: 0.945222, grows: true },
  twig: { lay: twig, scale: 1.538584, grows: false },
};
