export { buildKit } from './build.ts';
export { type Act, actsOf, CAUTIONS_DATE, cautionOf } from './cautions.ts';
export { kitCsv } from './csv.ts';
export { MOUNT_WORDS } from './mounts.ts';
export * from './types.ts';
