export * from "./camera.ts";
export * from "./massing/types.ts";
export * from "./records/index.ts";
