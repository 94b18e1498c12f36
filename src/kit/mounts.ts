import type { Mount } from '../scene/index.ts';

export interface MountPart {
  description: string;
  quantity: number;
}

/** Above this height a riser wants a stay (common practice, from memory). */
export const STAY_ABOVE_M = 0.6;

/** Words for a mount, as in "Light, on a stake". */
export const MOUNT_WORDS: Record<Mount, string> = {
  stake: 'on a stake',
  riser: 'on a riser',
  wall: 'wall bracket',
  gutter: 'gutter clamp',
  tree: 'tree bracket',
  post: 'at a post',
  pot: 'in a container',
  step: 'in a step',
  inGrade: 'in-grade',
  soffit: 'under a soffit',
  cap: 'under a wall cap',
  hanging: 'hanging',
  free: 'mount not chosen',
};

const SIMPLE: Record<Exclude<Mount, 'riser'>, readonly MountPart[]> = {
  stake: [{ description: 'Ground stake', quantity: 1 }],
  wall: [
    { description: 'Wall bracket', quantity: 1 },
    { description: 'Cable gland, wet-rated', quantity: 1 },
    { description: 'Stainless screw with plug', quantity: 2 },
  ],
  gutter: [
    { description: 'Gutter clamp', quantity: 1 },
    { description: 'Edge guard for cable at a gutter', quantity: 1 },
  ],
  tree: [
    { description: 'Tree bracket on stainless stand-off bolts', quantity: 1 },
    { description: 'Cable holder for a trunk, loose, stainless', quantity: 3 },
  ],
  post: [
    { description: 'Post bracket', quantity: 1 },
    { description: 'Stainless screw', quantity: 2 },
  ],
  pot: [
    { description: 'Container stake', quantity: 1 },
    { description: 'Cable bushing through the base of a container', quantity: 1 },
  ],
  step: [
    { description: 'Recess box for a step light', quantity: 1 },
    { description: 'Cable gland, wet-rated', quantity: 1 },
  ],
  inGrade: [
    { description: 'In-grade sleeve with box', quantity: 1 },
    { description: 'Drainage gravel, bag of 20 kg', quantity: 2 },
  ],
  soffit: [
    { description: 'Soffit plate', quantity: 1 },
    { description: 'Cable gland, wet-rated', quantity: 1 },
  ],
  cap: [
    { description: 'Bracket for the underside of a wall cap', quantity: 1 },
    { description: 'Stainless screw with plug', quantity: 2 },
  ],
  hanging: [
    { description: 'Hanging cable with strain relief', quantity: 1 },
    { description: 'Support hook (load to be calculated) with second hold', quantity: 1 },
  ],
  free: [],
};

/** Parts of one mount; risers come in steps of 0.1 m of the lens height, with a stay above 0.6 m. Common practice, no source. */
export function mountParts(mount: Mount, lensHeightM: number): readonly MountPart[] {
  if (mount !== 'riser') return SIMPLE[mount];
  const lengthM = Math.max(0.1, Math.ceil(lensHeightM * 10 - 1e-6) / 10);
  const parts = [
    { description: 'Ground stake', quantity: 1 },
    { description: `Threaded riser ${lengthM.toFixed(1)} m`, quantity: 1 },
  ];
  return lensHeightM > STAY_ABOVE_M ? [...parts, { description: 'Stay for a riser', quantity: 1 }] : parts;
}
