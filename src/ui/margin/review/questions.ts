import type { PowerResult } from '../../../power/index.ts';
import type { FindingKind } from '../../../review/index.ts';
import type { PropertyDocument } from '../../../scene/index.ts';

export interface AnswerContext {
  document: PropertyDocument;
  schemeId: string;
  power: PowerResult;
  powerAt175: PowerResult;
}

export interface Question {
  text: string;
  kinds: readonly FindingKind[];
  /** Answer where nothing was found: what was looked at, and that it lies below its figure. Never a verdict. */
  none(context: AnswerContext): string;
}

const seats = (c: AnswerContext) => c.document.viewpoints.filter((v) => v.purpose === 'look').length;

export const QUESTIONS: readonly Question[] = [
  {
    text: 'Is anything too bright?',
    kinds: ['hotSpot', 'clippedPicture', 'strongOnTarget'],
    none: () => 'No hot spot above 5 times its mean, no picture above its clipping figure.',
  },
  {
    text: 'Will it dazzle us?',
    kinds: ['seatGlare', 'veil'],
    none: (c) => `No lamp above 2 lx at the eye from ${seats(c)} ${seats(c) === 1 ? 'view' : 'views'}.`,
  },
  {
    text: 'What stays black?',
    kinds: ['darkGap', 'darkSide', 'weakOnTarget'],
    none: () => 'No gap wider than 6°, no corner side below 0.15 of its front.',
  },
  {
    text: 'Are steps and paths lit enough?',
    kinds: ['stepDark'],
    none: (c) =>
      c.document.buildings.some((b) => b.parts.some((p) => p.kind === 'steps'))
        ? 'No tread below 5 lx. A design aid, not a requirement for escape routes.'
        : 'No steps in this property.',
  },
  {
    text: 'Will it bother neighbours or the sky?',
    kinds: ['windowLight', 'skyLoss'],
    none: (c) =>
      c.document.site.neighbourWindows.length > 0
        ? `${c.document.site.neighbourWindows.length} neighbour windows below half their zone figure (CIE 150:2017, from memory, to be verified).`
        : 'No neighbour window is entered; only light to the sky is judged.',
  },
  {
    text: 'Will every lamp start?',
    kinds: ['mayNotStart', 'lowVolts', 'highVolts', 'transformerLoad', 'circuitCurrent', 'cableCurrent', 'noProtection'],
    none: (c) => {
      const loose = c.power.notWired.length;
      const least = Math.min(...c.power.fixtures.map((f) => f.startMarginV ?? Number.POSITIVE_INFINITY));
      const margin = Number.isFinite(least)
        ? `Least margin ${least.toFixed(1)} V above start at the marked draw.`
        : 'No lamp is wired yet.';
      return loose > 0 ? `${margin} ${loose} not wired, so not judged.` : margin;
    },
  },
];
