import { demoSuite } from './demoSuite.ts';

demoSuite('row-house-courtyard');
