/** Comparisons of whole scenes and crowns with ray references: they run with the demo properties, not with the node suite. */
export const REFERENCES = [
  'tests/lights/bouncePaths.test.ts',
  'tests/lights/crownSky.test.ts',
  'tests/lights/crowns.test.ts',
  'tests/lights/dapple.test.ts',
  'tests/lights/invariance.test.ts',
  'tests/lights/paths/**/*.test.ts',
];
