import type { Survey } from '../../../view/index.ts';
import type { App } from '../../state/app.ts';

const SAMPLES_WIDE = 240;
/** Darkest adaptation offered, cd/m²: the darkest natural sky is about .0002 (from memory). */
const DARKEST_CD_M2 = 1e-4;

/** Mean of what a survey holds, two digits as it is stated; never 0. */
export function statedMean({ values }: Pick<Survey, 'values'>): number {
  let sum = 0;
  let count = 0;
  for (const value of values) {
    if (Number.isNaN(value)) continue;
    sum += value;
    count++;
  }
  return Number(Math.max(DARKEST_CD_M2, count > 0 ? sum / count : 0).toPrecision(2));
}

/** The picture as an eye sees it that has grown used to this very picture: its mean luminance, openings of lamps left out. */
export async function adaptToPicture(app: App): Promise<void> {
  const survey = await app.picture.current?.survey('luminance', SAMPLES_WIDE);
  if (!survey) return;
  const adaptedCdM2 = statedMean(survey);
  app.editor.session({ adaptedCdM2 });
  app.say(`Picture as an eye used to ${adaptedCdM2} candela a square metre. Numbers, maps and findings stay.`);
}
