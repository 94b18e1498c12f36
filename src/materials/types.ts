/** Which shader program draws a surface. */
export type SurfaceClass = 'masonry' | 'smooth' | 'ground' | 'roof' | 'bark' | 'metal' | 'water';

/** One library material: reflectance with its source, and how it looks. */
export interface MaterialSheet {
  id: string;
  /** Words for people: "weathered buff brick". */
  label: string;
  /** Linear sRGB; luminance-weighted it equals `reflectance`. */
  reflectanceRgb: readonly [number, number, number];
  /** Luminous reflectance ρ; `reflectanceSources` says where it comes from. */
  reflectance: number;
  surfaceClass: SurfaceClass;
  /** Relief recipe by name in the look table; absent = flat. */
  relief?: string;
  /** Depth of joints or stones, metres. */
  reliefDepthM: number;
}
