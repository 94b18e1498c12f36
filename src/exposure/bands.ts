/** False colour: twelve bands, eleven edges in 1-2-5 steps, a ramp of even lightness steps from dark blue to yellow. */
export const BAND_RAMP = [
  '#002051',
  '#083069',
  '#24416E',
  '#44516D',
  '#5F626E',
  '#757372',
  '#898477',
  '#9D9778',
  '#B4AA73',
  '#D0BE67',
  '#ECD354',
  '#FDEA45',
] as const;

export interface BandScale {
  id: 'lux' | 'luminance';
  unit: string;
  /** Ascending; band k lies between edge k − 1 and edge k, its lower edge belongs to it. */
  edges: readonly number[];
  /** How edges are drawn in the picture. */
  edgeLine: 'solid' | 'dashed';
}

export const luxBands: BandScale = {
  id: 'lux',
  unit: 'lx',
  edges: [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200],
  edgeLine: 'solid',
};
export const luminanceBands: BandScale = {
  id: 'luminance',
  unit: 'cd/m²',
  edges: [0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50],
  edgeLine: 'dashed',
};

/** Move the whole range by whole bands: the next 1-2-5 numbers up (positive) or down. */
export function shiftBands(scale: BandScale, by: number): BandScale {
  return by === 0 ? scale : { ...scale, edges: scale.edges.map((edge) => stepped(edge, by)) };
}

/** Shifts accepted from a person: two decades each way. */
export const MAX_BAND_SHIFT = 6;

/** Words of one band, "0.5 to 1 lx". */
export function bandWords(band: number, { edges, unit }: BandScale): string {
  if (band <= 0) return `below ${edges[0]} ${unit}`;
  if (band >= edges.length) return `${edges[edges.length - 1]} ${unit} and more`;
  return `${edges[band - 1]} to ${edges[band]} ${unit}`;
}

/** Height of a value on a scale of even bands, in bands from its foot, 0…12, by its logarithm; open bands as wide as most. */
export function bandHeight(value: number, scale: BandScale): number {
  const band = bandOf(value, scale);
  const low = scale.edges[band - 1] ?? scale.edges[band]! / OPEN_BAND;
  const high = scale.edges[band] ?? low * OPEN_BAND;
  const share = value > 0 ? Math.log(value / low) / Math.log(high / low) : 0;
  return band + Math.min(1, Math.max(0, share));
}

/** Mean ratio of neighbours in 1-2-5 steps. */
const OPEN_BAND = 10 ** (1 / 3);

/** The 1-2-5 number `by` steps from one of them. */
function stepped(edge: number, by: number): number {
  const decade = Math.floor(Math.log10(edge) + 1e-9);
  const lead = Math.round(edge / 10 ** decade);
  const index = decade * 3 + [1, 2, 5].indexOf(lead) + by;
  return Number(`${[1, 2, 5][((index % 3) + 3) % 3]}e${Math.floor(index / 3)}`);
}

/** Band of a value, 0…11. */
export function bandOf(value: number, scale: BandScale): number {
  let band = 0;
  while (band < scale.edges.length && value >= scale.edges[band]!) band++;
  return band;
}

/** Colour of a value, `#rrggbb`. */
export const bandColour = (value: number, scale: BandScale): string => BAND_RAMP[bandOf(value, scale)]!;

/** Colour of a band as sRGB numbers 0…1 (encoded, not linear). */
export function bandRgb(band: number): readonly [number, number, number] {
  const hex = Number.parseInt(BAND_RAMP[band]!.slice(1), 16);
  return [(hex >> 16) / 255, ((hex >> 8) & 255) / 255, (hex & 255) / 255];
}

/** GLSL: `bandOf(value, edges)` and `bandRgb(band)`, colours encoded sRGB as in the ramp. */
export const bandsGlsl = `
int bandOf(float value, float edges[11]) {
  int band = 0;
  for (int i = 0; i < 11; i++) if (value >= edges[i]) band = i + 1;
  return band;
}
vec3 bandRgb(int band) {
  vec3 ramp[12] = vec3[12](${BAND_RAMP.map(
    (_, i) =>
      `vec3(${bandRgb(i)
        .map((v) => v.toFixed(6))
        .join(', ')})`,
  ).join(', ')});
  return ramp[clamp(band, 0, 11)];
}
`;
