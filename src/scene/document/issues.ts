import type { z } from 'zod';
import { fieldsOf, rangeWords, schemaAt } from './accepted.ts';
import { formatPath, type PathStep, type PropertyError, quoteValue } from './errors.ts';

type Issue = z.core.$ZodIssue;

const TYPE_WORDS: Record<string, string> = {
  number: 'a number',
  int: 'a whole number',
  string: 'text in quotation marks',
  boolean: 'true or false',
  array: 'a list in square brackets',
  tuple: 'a list in square brackets',
  object: 'an object in curly brackets',
  record: 'an object in curly brackets',
};

/** Turns what zod found into errors that say where, what, and what would be accepted. */
export function errorsFromIssues(file: unknown, issues: readonly Issue[]): PropertyError[] {
  return issues.flatMap((issue) => fromIssue(file, issue, issue.path as PathStep[]));
}

function fromIssue(file: unknown, issue: Issue, steps: readonly PathStep[]): PropertyError[] {
  const value = valueAt(file, steps);
  const path = formatPath(file, steps);
  const schema = schemaAt(file, steps);
  switch (issue.code) {
    case 'unrecognized_keys':
      return issue.keys.map((key) => unknownField(file, [...steps, key], key, fieldsOf(schema)));
    case 'invalid_type':
      return [{ path, reason: typeReason(value), accepted: typeAccepted(issue.expected, schema) }];
    case 'invalid_value':
      return [
        {
          path,
          reason: missingOr(value, 'is not one of the accepted values'),
          accepted: issue.values.map((v) => quoteValue(v)).join(', '),
        },
      ];
    case 'too_big':
    case 'too_small':
      return [sizeError(path, issue, value, rangeWords(schema))];
    case 'invalid_format':
      return [{ path, reason: `${quoteValue(value)} has not the right form`, accepted: issue.message }];
    case 'invalid_union':
      return [unionError(path, issue, value)];
    default:
      return [{ path, reason: `${quoteValue(value)} is not accepted: ${issue.message}`, accepted: rangeWords(schema) }];
  }
}

function valueAt(file: unknown, steps: readonly PathStep[]): unknown {
  return steps.reduce<unknown>(
    (value, step) => (typeof value === 'object' && value !== null ? (value as Record<PathStep, unknown>)[step] : undefined),
    file,
  );
}

function missingOr(value: unknown, reason: string): string {
  return value === undefined ? 'is missing' : `${quoteValue(value)} ${reason}`;
}

function typeReason(value: unknown): string {
  if (value === undefined) return 'is missing';
  if (typeof value === 'number' && !Number.isFinite(value)) return `${value} is not a finite number`;
  if (typeof value === 'string') return `${quoteValue(value)} is text`;
  if (typeof value === 'number') return `${value} is a number`;
  return `${quoteValue(value)} is of another kind`;
}

function typeAccepted(expected: string, schema: Record<string, unknown> | undefined): string {
  const range = rangeWords(schema);
  if (expected === 'number' && range !== '') return `a number, ${range}`;
  return range !== '' && expected === 'int' ? range : (TYPE_WORDS[expected] ?? expected);
}

function sizeError(
  path: string,
  issue: Extract<Issue, { code: 'too_big' | 'too_small' }>,
  value: unknown,
  range: string,
): PropertyError {
  const big = issue.code === 'too_big';
  const bound = Number(big ? issue.maximum : issue.minimum);
  if (typeof value === 'number') {
    const reason = `${value} is ${big ? 'more' : 'less'} than it may be`;
    const bare = big ? `at most ${bound}` : issue.inclusive ? `at least ${bound}` : `above ${bound}`;
    return { path, reason, accepted: range === '' ? bare : range };
  }
  const unit = typeof value === 'string' ? 'characters' : 'entries';
  const length = typeof value === 'string' || Array.isArray(value) ? value.length : 0;
  return { path, reason: `has ${length} ${unit}`, accepted: `${big ? 'at most' : 'at least'} ${bound} ${unit}` };
}

function unknownField(file: unknown, steps: readonly PathStep[], key: string, known: string[]): PropertyError {
  const stem = (name: string): string =>
    name.replace(/(?:M|Mm|Cm|Ft|In|Deg|Rad|FullDeg|HalfDeg|Lm|Cd|W|V|A|K|Lx)$/, '').toLowerCase();
  const near = known.filter((name) => stem(name) === stem(key) || name.toLowerCase() === key.toLowerCase());
  const accepted = near.length > 0 ? near.join(' or ') : known.join(', ');
  return { path: formatPath(file, steps), reason: 'is not a field of this record', accepted };
}

function unionError(path: string, issue: Extract<Issue, { code: 'invalid_union' }>, value: unknown): PropertyError {
  const options = 'options' in issue && Array.isArray(issue.options) ? issue.options : [];
  if (options.length > 0)
    return { path, reason: missingOr(value, 'is not one of the kinds'), accepted: options.map(quoteValue).join(', ') };
  const forms = issue.errors.flatMap((branch) => branch.filter((i) => i.path.length === 0).map(formWords));
  return { path, reason: missingOr(value, 'fits none of the accepted forms'), accepted: [...new Set(forms)].join(', or ') };
}

function formWords(issue: Issue): string {
  if (issue.code === 'invalid_type') return TYPE_WORDS[issue.expected] ?? issue.expected;
  if (issue.code === 'invalid_value') return issue.values.map((v) => quoteValue(v)).join(', ');
  return issue.message;
}
