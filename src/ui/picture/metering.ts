import type { App } from '../state/app.ts';

const COLUMNS = 9;
const ROWS = 6;

/**
 * Luminance to expose this picture for, cd/m²: the log mean of what a grid of rays reads in the field, the darkest half
 * left out, since night pictures are mostly sky and shadow. Undefined where nothing is lit.
 */
export async function pictureLuminances(app: App): Promise<number | undefined> {
  const canvas = app.picture.current?.canvas();
  if (!canvas) return undefined;
  const readings = [];
  for (let j = 0; j < ROWS; j++) {
    for (let i = 0; i < COLUMNS; i++) {
      const ray = app.picture.current?.ray(((i + 0.5) / COLUMNS) * canvas.clientWidth, ((j + 0.5) / ROWS) * canvas.clientHeight);
      if (ray) readings.push(app.client.readAlong(ray.from, ray.direction));
    }
  }
  const values = (await Promise.all(readings)).flatMap((r) => (r && r.luminanceCdM2 > 0 ? [r.luminanceCdM2] : []));
  if (values.length === 0) return undefined;
  const brighter = values.sort((a, b) => b - a).slice(0, Math.ceil(values.length / 2));
  return Math.exp(brighter.reduce((sum, v) => sum + Math.log(v), 0) / brighter.length);
}
