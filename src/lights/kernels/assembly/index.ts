// Everything the page calls.
export { anyHit, forgetLast, leafDepth, nearest } from './rays';
export { setTrees } from './shared';
