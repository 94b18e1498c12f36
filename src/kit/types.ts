export type PartGroup = 'light' | 'mount' | 'accessory' | 'splice' | 'cable' | 'supply' | 'spare';

/** One line of the kit list. */
export interface KitPart {
  description: string;
  quantity: number;
  /** "each" or "m". */
  unit: string;
  /** Ids of the lights, runs or transformers that need it. */
  usedBy: string[];
  group: PartGroup;
}

export interface Kit {
  parts: KitPart[];
  /** Each dated, with "check local code". */
  cautions: string[];
  assumptions: string[];
}
