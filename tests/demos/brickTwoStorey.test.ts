import { demoSuite } from './demoSuite.ts';

demoSuite('brick-two-storey');
