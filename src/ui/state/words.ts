import type { Severity } from '../../review/index.ts';
import type { Mount } from '../../scene/index.ts';

export const SEVERITY_WORD: Record<Severity, string> = { stop: 'Stop', warn: 'Warn', note: 'Note' };

export const LIST_WORD = {
  property: 'Property',
  lights: 'Lights',
  wiring: 'Wiring',
  review: 'Review',
  compare: 'Compare',
  sheets: 'Sheets',
} as const;

export const MOUNT_WORD: Record<Mount, string> = {
  stake: 'stake',
  riser: 'riser',
  wall: 'wall',
  gutter: 'gutter',
  tree: 'tree',
  post: 'post',
  pot: 'pot',
  step: 'step',
  inGrade: 'in-grade',
  soffit: 'soffit',
  cap: 'cap',
  hanging: 'hanging',
  free: 'free',
};

export const SURROUNDINGS_WORD = {
  darkRural: 'dark, rural',
  village: 'village',
  suburb: 'suburb',
  brightSuburb: 'bright suburb',
  town: 'town',
} as const;

export const TOUR = (lights: string): readonly string[] => [
  `This is an invented house at dusk, lit by ${lights} at an exposure that stays put.`,
  'Rest the pointer, or hold a finger, anywhere to read how much light lands there and which lamp sent it.',
  'Press Add light, press where it should stand, drag to what it should light.',
  'Letters in the picture mark what would dazzle, burn out or stay black; press one and try its remedy.',
];

export const EMPTY = {
  property: 'Nothing built yet. Start from photos, or from a house like yours.',
  lights: 'No lights in this scheme. Press Add light, press where it stands, drag to what it should light.',
  unsolved: 'Not judged yet.',
  none: (views: number) =>
    `Nothing found in ${views} ${views === 1 ? 'view' : 'views'} with these limits. That is not a certificate.`,
  wiring: 'No power site yet. Ask where the outlets are.',
  seats: 'No seats: dazzle is judged from the street only.',
  planting: 'No planting. A light on bare wall is possible; most gardens have some.',
  boundary: 'No boundary yet: light past it is not judged.',
  history: 'No kept versions. Keep this version before you try something bold.',
  sheets: (scheme: string) => `Nothing to list: no lights in scheme ${scheme}.`,
} as const;

const NUMBER_WORDS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten', 'eleven', 'twelve'];

/** 9 → "nine", 14 → "14". */
export function numberWord(count: number): string {
  return NUMBER_WORDS[count] ?? String(count);
}
