/** Place and nature of the first fault in a text that JSON.parse refused. */
export interface JsonFault {
  offset: number;
  /** From 1. */
  line: number;
  column: number;
  reason: string;
  /** True where the text ends too early, rather than holding something wrong. */
  cutOff: boolean;
}

const TOKEN =
  /\s*(?:([{}[\],:])|("[^"\\\n\r\t]*(?:\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4})[^"\\\n\r\t]*)*")|(-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?(?![\w.]))|(true|false|null))/y;
/** What is left of a file cut off inside a text, a number or a word. */
const CUT = /^(?:"[^\n]*|[\w.+-]*)$/;

type Wanted = 'value' | 'valueOrEnd' | 'key' | 'keyOrEnd' | 'colon' | 'commaOrEnd' | 'nothing';

const WORDS: Record<Wanted, string> = {
  value: 'a value',
  valueOrEnd: 'a value or ]',
  key: 'a name in quotation marks',
  keyOrEnd: 'a name in quotation marks or }',
  colon: 'a colon',
  commaOrEnd: 'a comma or a closing bracket',
  nothing: 'the end of the file',
};

/** Walks the tokens of a JSON text with a stack of its own, so that depth and engine make no difference. */
export function findJsonFault(text: string): JsonFault | undefined {
  const open: string[] = [];
  let wanted: Wanted = 'value';
  let offset = 0;
  for (;;) {
    TOKEN.lastIndex = offset;
    const match = TOKEN.exec(text);
    const start = match ? TOKEN.lastIndex - match[0].trimStart().length : offset + leadingSpace(text, offset);
    if (!match) {
      if (start >= text.length && wanted === 'nothing') return undefined;
      return fault(text, start, wanted);
    }
    const next = step(wanted, match, open);
    if (!next) return fault(text, start, wanted);
    wanted = next;
    offset = TOKEN.lastIndex;
  }
}

/** What may come after this token, or undefined where the token may not stand here. */
function step(wanted: Wanted, match: RegExpExecArray, open: string[]): Wanted | undefined {
  const mark = match[1];
  const takesValue = wanted === 'value' || wanted === 'valueOrEnd';
  if (mark === '{' || mark === '[') {
    if (!takesValue) return undefined;
    open.push(mark);
    return mark === '{' ? 'keyOrEnd' : 'valueOrEnd';
  }
  if (mark === '}' || mark === ']') {
    const allowed = wanted === 'commaOrEnd' || wanted === (mark === '}' ? 'keyOrEnd' : 'valueOrEnd');
    if (!allowed || open.pop() !== (mark === '}' ? '{' : '[')) return undefined;
    return open.length > 0 ? 'commaOrEnd' : 'nothing';
  }
  if (mark === ':') return wanted === 'colon' ? 'value' : undefined;
  if (mark === ',') return wanted === 'commaOrEnd' ? (open.at(-1) === '{' ? 'key' : 'value') : undefined;
  if (match[2] !== undefined && (wanted === 'key' || wanted === 'keyOrEnd')) return 'colon';
  if (!takesValue) return undefined;
  return open.length > 0 ? 'commaOrEnd' : 'nothing';
}

function leadingSpace(text: string, from: number): number {
  const space = /\s*/y;
  space.lastIndex = from;
  return space.exec(text)?.[0].length ?? 0;
}

function fault(text: string, offset: number, wanted: Wanted): JsonFault {
  const before = text.slice(0, offset);
  const line = before.split('\n').length;
  const column = offset - (before.lastIndexOf('\n') + 1) + 1;
  const rest = text.slice(offset, offset + 1000);
  const cutOff = CUT.test(rest) && offset + rest.length === text.length;
  const found = cutOff ? 'the text ends' : `found ${JSON.stringify(rest.slice(0, 12))}`;
  return { offset, line, column, reason: `${found} where ${WORDS[wanted]} should stand`, cutOff };
}
