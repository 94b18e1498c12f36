import { isNumber, toNumber } from './tokens.ts';
import { PhotometryError } from './types.ts';

/** Reads EULUMDAT line by line. Decimal commas are taken as points and said once. */
export class LineReader {
  private next = 0;
  private commaSaid = false;
  private readonly lines: readonly string[];
  private readonly warnings: string[];

  constructor(lines: readonly string[], warnings: string[]) {
    this.lines = lines;
    this.warnings = warnings;
  }

  mark(): number {
    return this.next;
  }
  back(mark: number): void {
    this.next = mark;
  }
  /** 1-based line of a zero-based place. */
  lineOf(index: number): number {
    return index + 1;
  }

  text(): string {
    return this.line('a text line').trim();
  }

  private line(what: string): string {
    const line = this.lines[this.next];
    if (line === undefined) throw new PhotometryError(this.lines.length, '', `the file ends here; ${what} expected`);
    this.next++;
    return line;
  }

  /** A refusal of the line just read. */
  refusal(reason: string): PhotometryError {
    return new PhotometryError(this.next, (this.lines[this.next - 1] ?? '').trim(), reason);
  }

  private parse(text: string, what: string): number {
    const commas = /^[+-]?\d*,\d+(?:[eEdD][+-]?\d+)?$/.test(text);
    if (commas && !this.commaSaid) {
      this.commaSaid = true;
      this.warnings.push(`Decimal commas (line ${this.next}, "${text}") are read as points.`);
    }
    return toNumber({ text: commas ? text.replace(',', '.') : text, line: this.next }, what);
  }

  number(what: string): number {
    const text = this.line(what).trim();
    if (text === '') throw new PhotometryError(this.next, '', `${what}: the line is blank; a number expected`);
    return this.parse(text, what);
  }

  /** A number that may be blank. */
  optional(what: string): number | undefined {
    const text = this.line(what).trim();
    return text === '' ? undefined : this.parse(text, what);
  }

  whole(what: string, least: number, most: number): number {
    const value = this.number(what);
    if (!Number.isInteger(value) || value < least || value > most) {
      throw this.refusal(`${what}: a whole number from ${least} to ${most} is accepted`);
    }
    return value;
  }

  least(what: string, least: number): number {
    const value = this.number(what);
    if (value < least) throw this.refusal(`${what}: ${least} or more is accepted`);
    return value;
  }

  intensity(what: string): number {
    const value = this.number(what);
    if (value < 0) throw this.refusal(`${what}: negative; 0 or more is accepted`);
    return value;
  }

  angles(count: number, what: string, most: number): number[] {
    const out: number[] = [];
    for (let i = 0; i < count; i++) {
      const name = `${what} ${i + 1} of ${count}`;
      const value = this.number(name);
      if (value < 0 || value > most) throw this.refusal(`${name}: 0 to ${most} degrees is accepted`);
      if (i > 0 && value <= out[i - 1]!) throw this.refusal(`${name} follows ${out[i - 1]}; angles must ascend`);
      out.push(value);
    }
    return out;
  }

  /** Numbers beyond the stated counts mean that the counts are wrong; other text is only said. */
  expectEnd(values: number): void {
    const at = this.lines.findIndex((line, i) => i >= this.next && line.trim() !== '');
    if (at < 0) return;
    const text = this.lines[at]!.trim();
    if (isNumber(text))
      throw new PhotometryError(at + 1, text, `more numbers after the ${values} intensities that the counts ask for`);
    this.warnings.push(`Text after the intensities (line ${at + 1}) is left out.`);
  }
}
