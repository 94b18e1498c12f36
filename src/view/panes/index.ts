export { createPanesLayer, type PanesLayer } from './createPanes.ts';
