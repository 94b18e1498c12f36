/** The compiled kernels; `wasmBytes.mjs` is made by `src/cli/kernels.mjs` before anything is built or tested. */
export declare const WASM_HEX: string;
