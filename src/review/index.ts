export * from "./types.ts";
