import type { LightModel } from '../lights/index.ts';
import { solvePower } from '../power/index.ts';
import type { Finding, Remedy, ReviewInput } from '../review/index.ts';
import { findRemedy, reviewScheme, reviewSteps } from '../review/index.ts';
import type { PropertyDocument } from '../scene/index.ts';
import type { JudgedState } from './types.ts';

/** Draw at which the second figures are listed: lamps often draw more than their mark (our stress value, common practice). */
export const STRESSED_DRAW = 1.75;

export type Judgement = Omit<JudgedState, 'revision'>;

/** Cable solve at the marked and at the stressed draw, and all findings, over one property's light. */
export interface Judge {
  /** Yields between kinds of findings, `undefined` until the last value. Leaves the model in the judging night. */
  run(document: PropertyDocument, schemeId: string): Generator<Judgement | undefined, void, void>;
  findRemedy(document: PropertyDocument, schemeId: string, finding: Finding): Remedy | undefined;
}

export function createJudge(model: LightModel): Judge {
  return {
    *run(document, schemeId) {
      const input = reviewInput(model, document, schemeId);
      const steps = reviewSteps(input);
      for (;;) {
        const step = steps.next();
        if (step.done) {
          yield { findings: step.value, power: input.power, powerAt175: input.powerAt175 };
          return;
        }
        yield undefined;
      }
    },
    findRemedy: (document, schemeId, finding) => findRemedy(finding, reviewInput(model, document, schemeId)),
  };
}

/** The whole judgement at once, for the command line and tests. */
export function judgeScheme(model: LightModel, document: PropertyDocument, schemeId: string): Judgement {
  const input = reviewInput(model, document, schemeId);
  return { findings: reviewScheme(input), power: input.power, powerAt175: input.powerAt175 };
}

function reviewInput(model: LightModel, document: PropertyDocument, schemeId: string): ReviewInput {
  return {
    document,
    schemeId,
    model,
    power: solvePower(document, schemeId),
    powerAt175: solvePower(document, schemeId, { drawFactor: STRESSED_DRAW }),
  };
}
