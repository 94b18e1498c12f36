import { startFirstWorker } from '../worker/index.ts';

/** Imported before all else: the worker loads while the page's own script is still being evaluated. */
startFirstWorker();
