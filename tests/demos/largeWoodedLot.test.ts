import { demoSuite } from './demoSuite.ts';

demoSuite('large-wooded-lot');
