export { type Autosave, createAutosave, FULL_SENTENCE, PRIVATE_SENTENCE, type SaveState, type Timers } from './autosave.ts';
export { openBrowserStore } from './browserStore.ts';
export {
  createPropertyKey,
  keepVersion,
  removeOldVersions,
  type Restored,
  restoreLast,
  restoreProperty,
} from './history.ts';
export { createMemoryStore } from './memoryStore.ts';
export { LARGEST_FILE_BYTES, openPropertyFile, openPropertyText, type OpenResult } from './openFile.ts';
export { downloadBlob, fileStem, pickFile, propertyBlob, propertyFileName, savePropertyFile } from './saveFile.ts';
export { isStorageFull, type KeptVersion, type PropertyStore, type SavedProperty, type SavedView } from './store.ts';
