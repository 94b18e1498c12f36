import type { Kit } from './types.ts';

/**
 * Kit list as comma-separated values (RFC 4180, CR LF). Cautions and assumptions follow as rows of their own.
 * A cell that a spreadsheet would take for a formula gets a leading apostrophe.
 */
export function kitCsv(kit: Kit): string {
  const rows = [
    ['description', 'quantity', 'unit', 'usedBy'],
    ...kit.parts.map((part) => [part.description, String(part.quantity), part.unit, part.usedBy.join(' ')]),
    ...kit.assumptions.map((line) => [`Assumption: ${line}`, '', '', '']),
    ...kit.cautions.map((line) => [`Caution: ${line}`, '', '', '']),
  ];
  return rows.map((row) => `${row.map(cell).join(',')}\r\n`).join('');
}

function cell(text: string): string {
  const plain = /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(plain) ? `"${plain.replaceAll('"', '""')}"` : plain;
}
