import type { PhotometryFormat, PhotometryMetadata } from './types.ts';

type Labels = Pick<PhotometryMetadata, 'name' | 'keywords' | 'cctK' | 'colourRendering'>;

/** Version by the first line that is not blank; no such line means 1986. */
export function lm63Version(lines: readonly string[], warnings: string[]): PhotometryFormat {
  const first = (lines.find((line) => line.trim() !== '') ?? '').trim();
  const match = /^IES(?:NA)?\s*:?\s*(?:LM-63-)?\s*(\d{2,4})/i.exec(first);
  if (!match) return 'LM-63-1986';
  const year = Number(match[1]!.length === 2 ? `19${match[1]}` : match[1]);
  if (year === 1986 || year === 1991 || year === 1995 || year === 2002 || year === 2019) return `LM-63-${year}`;
  const nearest = year < 1991 ? 1986 : year < 1995 ? 1991 : year < 2002 ? 1995 : year < 2019 ? 2002 : 2019;
  warnings.push(`The first line names an unknown edition, "${first.slice(0, 40)}"; read by the rules of ${nearest}.`);
  return `LM-63-${nearest}`;
}

/** Keyword lines up to TILT=: `[KEY] value`, `[MORE]` continues; before 1991 every line is a label. */
export function readLabels(lines: readonly string[], tiltAt: number, hasKeywords: boolean): Labels {
  const keywords: { key: string; value: string }[] = [];
  lines.slice(0, tiltAt).forEach((line, i) => {
    const match = /^\s*\[\s*([^\]]+?)\s*\]\s*(.*?)\s*$/.exec(line);
    const last = keywords.at(-1);
    if (match) {
      const key = match[1]!.toUpperCase();
      if (key === 'MORE' && last) last.value = `${last.value} ${match[2]}`.trim();
      else keywords.push({ key, value: match[2]! });
    } else if (!hasKeywords && line.trim() !== '') keywords.push({ key: `LABEL ${i + 1}`, value: line.trim() });
  });
  const labelled = (key: string): string => keywords.find((k) => k.key === key && k.value !== '')?.value ?? '';
  const name = labelled('LUMINAIRE') || labelled('LUMCAT') || (hasKeywords ? '' : (keywords[0]?.value ?? ''));
  return { name, keywords, cctK: undefined, colourRendering: undefined };
}

/** Meaning of field 12 in LM-63-2019 (facts.md 1.6, as coded in open readers). */
const GENERATIONS: Readonly<Record<string, string>> = {
  '1.00001': 'undefined or older file',
  '1.0001': 'computer simulation',
  '1': 'test at a laboratory without accreditation',
  '1.001': 'test at a laboratory without accreditation, lumens scaled',
  '1.01': 'test at a laboratory without accreditation, interpolated',
  '1.011': 'test at a laboratory without accreditation, interpolated and lumens scaled',
  '1.1': 'test at an accredited laboratory',
  '1.101': 'test at an accredited laboratory, lumens scaled',
  '1.11': 'test at an accredited laboratory, interpolated',
  '1.111': 'test at an accredited laboratory, interpolated and lumens scaled',
};

export function generationMeaning(value: number): string {
  return GENERATIONS[String(Number(value.toFixed(5)))] ?? `unknown file generation type ${value}`;
}

/**
 * Radius of the disc with the area of the luminous opening (width, length as in facts.md 1.5; a negative number is a
 * diameter). One negative number with zeros is the circle of 1995.
 */
export function openingRadiusM([width, length]: readonly [number, number, number], unitM: number): number | undefined {
  const [w, l] = [Math.abs(width) * unitM, Math.abs(length) * unitM];
  if (w === 0 && l === 0) return 0;
  if (width < 0 && length < 0) return Math.sqrt((w / 2) * (l / 2));
  if (width < 0 && length === 0) return w / 2;
  if (width > 0 && length > 0) return Math.sqrt((w * l) / Math.PI);
  return undefined;
}
