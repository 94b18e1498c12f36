export { createCardsLayer, paintLeaves } from './createCards.ts';
export { createStrandsLayer } from './createStrands.ts';
