export * from './caster.ts';
export * from './leaves.ts';
export * from './triangles.ts';
