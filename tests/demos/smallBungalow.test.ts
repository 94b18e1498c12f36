import { demoSuite } from './demoSuite.ts';

demoSuite('small-bungalow');
