export { type Autosave, createAutosave, FULL_SENTENCE, PRIVATE_SENTENCE, type SaveState, type Timers } from './autosave.ts';
export { openBrowserStore } from './browserStore.ts';
export { massingGlb, zipOf } from './exports.ts';
export {
  createPropertyKey,
  keepVersion,
  type Restored,
  removeOldVersions,
  restoreLast,
  restoreProperty,
} from './history.ts';
export { createMemoryStore } from './memoryStore.ts';
export { LARGEST_FILE_BYTES, type OpenResult, openPropertyFile, openPropertyText } from './openFile.ts';
export { downloadBlob, fileStem, pickFile, propertyBlob, propertyFileName, savePropertyFile } from './saveFile.ts';
export { isStorageFull, type KeptVersion, type PropertyStore, type SavedProperty, type SavedView } from './store.ts';
