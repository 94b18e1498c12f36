/** Plain text table: the first column left, the rest right aligned. */
export function textTable(head: string[], rows: (string | number)[][]): string {
  const cells = [head, ...rows.map((r) => r.map(String))];
  const widths = head.map((_, c) => Math.max(...cells.map((r) => (r[c] ?? '').length)));
  const line = (r: string[]) =>
    r
      .map((v, c) => (c === 0 ? v.padEnd(widths[c]!) : v.padStart(widths[c]!)))
      .join('  ')
      .trimEnd();
  return cells.map(line).join('\n');
}

/** Figure with `digits` decimals, or "none" for null. */
export const figure = (value: number | null | undefined, digits = 2): string =>
  value === null || value === undefined ? 'none' : value.toFixed(digits);
