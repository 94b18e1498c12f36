import { demoSuite } from './demoSuite.ts';

demoSuite('modern-stucco-pool');
