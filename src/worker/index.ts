export * from './client.ts';
export { type Judgement, judgeScheme, STRESSED_DRAW } from './judge.ts';
export { packField } from './pack.ts';
export * from './types.ts';
export { createHelper, type HelperReply, type HelperRequest } from './helper.ts';
export { createHelperPool, type HelperPool, type HelperPort, helperCount } from './pool.ts';
