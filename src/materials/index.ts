export * from "./library.ts";
export type * from "./types.ts";
