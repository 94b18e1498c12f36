export { createCardsLayer } from './createCards.ts';
export { createStrandsLayer } from './createStrands.ts';
