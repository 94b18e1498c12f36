import type { Severity } from '../../review/index.ts';
import { SEVERITY_WORD } from '../state/words.ts';

/** Filled octagon, filled triangle, open ring: shape and word carry severity, colour only repeats it. */
export function SeverityShape({ severity }: { severity: Severity }) {
  return (
    <svg className={`shape ${severity}`} viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">
      {severity === 'stop' && <polygon points="5,1 11,1 15,5 15,11 11,15 5,15 1,11 1,5" />}
      {severity === 'warn' && <polygon points="8,1.5 15.5,14.5 .5,14.5" />}
      {severity === 'note' && <circle cx="8" cy="8" r="5.8" />}
    </svg>
  );
}

export function SeverityMark({ severity, count }: { severity: Severity; count?: number }) {
  const word = SEVERITY_WORD[severity];
  return (
    <span className={`severity ${severity}`}>
      <SeverityShape severity={severity} />
      {count !== undefined && <span className="count">{count}</span>} <span className="severity-word">{word}</span>
    </span>
  );
}
