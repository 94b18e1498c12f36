export * from './client.ts';
export { type Judgement, judgeScheme, STRESSED_DRAW } from './judge.ts';
export { packField } from './pack.ts';
export * from './types.ts';
