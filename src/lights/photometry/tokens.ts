import { PhotometryError } from './types.ts';

export interface Token {
  text: string;
  /** 1-based line of the file. */
  line: number;
}

/** Plain decimal, optional exponent (E, or D as older programs write it). */
const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eEdD][+-]?\d+)?$/;

export const isNumber = (text: string): boolean => NUMBER.test(text);

/** @throws {PhotometryError} anything but one finite number. */
export function toNumber({ text, line }: Token, what: string): number {
  if (!NUMBER.test(text)) throw new PhotometryError(line, text, `${what}: expected a number${commaHint(text)}`);
  const value = Number(text.replace(/[dD]/, 'e'));
  if (!Number.isFinite(value)) throw new PhotometryError(line, text, `${what}: the number is too large`);
  return value;
}

function commaHint(text: string): string {
  return /^[+-]?\d+,\d+$/.test(text) ? ' with a point, not a comma, before its decimals' : '';
}

/**
 * Reads the numbers of LM-63 after the TILT line one by one: separators are blanks, tabs, commas and line ends
 * (facts: LM-63-2002); lines mean nothing.
 */
export class NumberReader {
  private readonly tokens: Token[] = [];
  private next = 0;
  /** Line after the last token, for "the file ends". */
  private readonly lastLine: number;
  /** Something like `0,5` stands in the file: a sign of decimal commas. */
  readonly commaBetweenDigits: Token | undefined;

  constructor(lines: readonly string[], fromLine: number) {
    let comma: Token | undefined;
    for (let i = fromLine; i < lines.length; i++) {
      const text = lines[i]!;
      const empty = /,\s*,/.exec(text);
      if (empty) throw new PhotometryError(i + 1, empty[0], 'two commas with no number between them');
      for (const part of text.split(/[\s,]+/)) if (part !== '') this.tokens.push({ text: part, line: i + 1 });
      const found = comma ? null : /(?:^|\s)([+-]?\d+,\d+)(?=\s|$)/.exec(text);
      if (found) comma = { text: found[1]!, line: i + 1 };
    }
    this.commaBetweenDigits = comma;
    this.lastLine = this.tokens.at(-1)?.line ?? fromLine;
  }

  /** Numbers left before the first token that is none. */
  get numbersLeft(): number {
    let end = this.next;
    while (end < this.tokens.length && NUMBER.test(this.tokens[end]!.text)) end++;
    return end - this.next;
  }

  peek(): Token | undefined {
    return this.tokens[this.next];
  }

  token(what: string): Token {
    const token = this.tokens[this.next++];
    if (!token) throw new PhotometryError(this.lastLine, '', `the file ends here; ${what} expected`);
    return token;
  }

  number(what: string): number {
    return toNumber(this.token(what), what);
  }

  /** A number that must hold to `test`, else refused with `accepted`. */
  checked(what: string, test: (value: number) => boolean, accepted: string): number {
    const token = this.token(what);
    const value = toNumber(token, what);
    if (!test(value)) throw new PhotometryError(token.line, token.text, `${what}: ${accepted}`);
    return value;
  }

  /** Strictly ascending angles. */
  angles(count: number, what: string, least: number, most: number): number[] {
    const out: number[] = [];
    for (let i = 0; i < count; i++) {
      const token = this.token(`${what} ${i + 1} of ${count}`);
      const value = toNumber(token, `${what} ${i + 1} of ${count}`);
      if (i > 0 && value <= out[i - 1]!) {
        throw new PhotometryError(
          token.line,
          token.text,
          `${what} ${i + 1} of ${count} follows ${out[i - 1]}; angles must ascend`,
        );
      }
      if (value < least || value > most) {
        throw new PhotometryError(
          token.line,
          token.text,
          `${what} ${i + 1} of ${count}: ${least} to ${most} degrees is accepted`,
        );
      }
      out.push(value);
    }
    return out;
  }
}
