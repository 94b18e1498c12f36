import { demoSuite } from './demoSuite.ts';

demoSuite('cafe-garden');
