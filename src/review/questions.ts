import { severityRank } from './measure.ts';
import type { Finding, FindingKind } from './types.ts';

export interface QuestionAnswer {
  question: string;
  /** Name of the command beside it. */
  command: string;
  answer: string;
  /** Findings behind the answer, worst first. */
  findingIds: string[];
}

const QUESTIONS: readonly { question: string; command: string; kinds: readonly FindingKind[]; none: string }[] = [
  {
    question: 'Is anything too bright?',
    command: 'Find hot spots',
    kinds: ['hotSpot', 'clippedPicture', 'strongOnTarget'],
    none: 'Nothing above the stated figures.',
  },
  {
    question: 'Will it dazzle us?',
    command: 'Show where it dazzles',
    kinds: ['seatGlare', 'veil'],
    none: 'No lamp above the stated figures from the recorded seats and views.',
  },
  {
    question: 'What stays black?',
    command: 'Find dark gaps',
    kinds: ['darkGap', 'darkSide', 'weakOnTarget', 'blockedLens'],
    none: 'No gap, side or target below the stated figures.',
  },
  {
    question: 'Are steps and paths lit enough?',
    command: 'Find dark steps',
    kinds: ['stepDark'],
    none: 'No tread below the stated figure; paths are not judged yet.',
  },
  {
    question: 'Will it bother neighbours or the sky?',
    command: 'Show light that leaves',
    kinds: ['windowLight', 'skyLoss'],
    none: 'Nothing above the stated figures.',
  },
  {
    question: 'Will every lamp start?',
    command: 'Check voltage',
    kinds: ['mayNotStart', 'lowVolts', 'highVolts', 'transformerLoad', 'cableCurrent', 'circuitCurrent', 'noProtection'],
    none: 'No lamp, run or transformer beyond the stated figures.',
  },
];

/** Six plain questions with one-line answers: the worst finding of each, and how many more there are. */
export function summariseQuestions(findings: readonly Finding[]): QuestionAnswer[] {
  return QUESTIONS.map(({ question, command, kinds, none }) => {
    const own = findings
      .filter((one) => kinds.includes(one.kind))
      .sort((a, b) => severityRank(a.severity) - severityRank(b.severity));
    const more = own.length > 1 ? ` And ${own.length - 1} more.` : '';
    const answer = own[0] ? `${own[0].message}${more}` : none;
    return { question, command, answer, findingIds: own.map((one) => one.id) };
  });
}
