export { createEmptyProperty } from './create.ts';
export { findCrossing, type Crossing } from './checks/outline.ts';
export { formatPropertyError, type PropertyError } from './errors.ts';
export { LARGEST } from './limits.ts';
export { groundHeightAt, insideOutline } from './lookup.ts';
export { crossCheck, parseProperty, type ParseResult, type RefusalKind, validateProperty } from './parse.ts';
export { propertyJsonSchema } from './schema.ts';
export { serialiseProperty } from './serialise.ts';
export { CURRENT_VERSION, migrations } from './versions.ts';
