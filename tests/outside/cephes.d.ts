/** The package brings declarations that its own list of exports hides. */
declare module 'cephes' {
  /** Resolves when the WebAssembly is ready. */
  export const compiled: Promise<void>;
  /** Regularised incomplete beta function I_x(a, b). */
  export function incbet(a: number, b: number, x: number): number;
}
