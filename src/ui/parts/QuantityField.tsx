import { type KeyboardEvent, useEffect, useId, useRef, useState } from 'react';
import { useEditorState } from '../state/context.tsx';
import { otherReading, type QuantityUnit, showQuantity, takeQuantity, unitSpoken } from './quantity.ts';

export interface QuantityFieldProps {
  label: string;
  value: number;
  unit: QuantityUnit;
  min: number;
  max: number;
  step: number;
  decimals?: number;
  disabled?: boolean;
  /** Text under the field; the other length system stands there by itself. */
  hint?: string;
  /** Present when the field stands for several records: their values. It then shows one value or "3 values". */
  values?: readonly number[];
  onTake(value: number, asTyped: string): void;
  /** Several records: one new value each; typing sets all, `+` adds to each. */
  onTakeEach?(values: number[], asTyped: string): void;
}

const near = (a: number, b: number) => Math.abs(a - b) < 1e-9;

/** Text field with spin-button behaviour and mixed-unit reading. Out of range is refused and the old value stays. */
export function QuantityField(props: QuantityFieldProps) {
  const { label, value, unit, min, max, step, disabled } = props;
  const system = useEditorState((s) => s.session.lengthSystem);
  const all = props.values ?? [value];
  const distinct = all.filter((v, i) => all.findIndex((w) => near(w, v)) === i).length;
  const shown = distinct > 1 ? `${distinct} values` : showQuantity(value, unit, system, props.decimals);
  const [text, setText] = useState(shown);
  const [error, setError] = useState<string>();
  const touched = useRef(false);
  const id = useId();
  useEffect(() => {
    touched.current = false;
    setText(shown);
  }, [shown]);

  const put = (next: number[], typed: string) => {
    const clean = next.map((v) => Number(v.toFixed(6)));
    setError(undefined);
    touched.current = false;
    // A new value may read the same as the old one at the shown decimals.
    setText(shown);
    if (clean.every((v, i) => near(v, all[i] ?? Number.NaN))) return;
    if (props.values && props.onTakeEach) props.onTakeEach(clean, typed);
    else props.onTake(clean[0] ?? value, typed);
  };
  const take = () => {
    if (!touched.current) return;
    const next: number[] = [];
    for (const now of all) {
      const read = takeQuantity(text, unit, system, now, min, max, { adding: all.length > 1 });
      if (!read.ok) {
        setError(read.reason);
        touched.current = false;
        setText(shown);
        return;
      }
      next.push(read.value);
    }
    put(next, text.trim());
  };
  const stepTo = (move: (now: number) => number) => {
    const next = all.map((now) => Math.min(max, Math.max(min, move(now))));
    put(next, showQuantity(next[0] ?? value, unit, system, props.decimals));
  };
  const stepBy = (by: number) => stepTo((now) => now + by);
  const onKeyDown = (event: KeyboardEvent) => {
    const by = event.altKey ? step / 10 : step;
    const moves: Record<string, () => void> = {
      ArrowUp: () => stepBy(by),
      ArrowDown: () => stepBy(-by),
      PageUp: () => stepBy(step * 10),
      PageDown: () => stepBy(-step * 10),
      Enter: take,
    };
    // While a text is being typed these keys move its caret.
    if (!touched.current) {
      moves.Home = () => stepTo(() => min);
      moves.End = () => stepTo(() => max);
    }
    const move = moves[event.key];
    if (move) {
      event.preventDefault();
      if (event.key !== 'Enter') event.stopPropagation();
      move();
    } else if (event.key === 'Escape' && touched.current) {
      event.stopPropagation();
      touched.current = false;
      setError(undefined);
      setText(shown);
    }
  };
  const second = distinct > 1 ? '' : otherReading(value, unit, system);
  const hint = [second, props.hint].filter(Boolean).join(' · ');
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <div className="field-row">
        <button
          type="button"
          className="step"
          tabIndex={-1}
          disabled={disabled}
          aria-label={`${label} less`}
          onClick={() => stepBy(-step)}
        >
          −
        </button>
        <input
          id={id}
          role="spinbutton"
          type="text"
          autoComplete="off"
          spellCheck={false}
          value={text}
          disabled={disabled}
          aria-valuenow={value}
          aria-valuemin={min}
          aria-valuemax={max}
          aria-valuetext={`${shown} ${unit === 'm' ? second : unitSpoken(unit)}`.trim()}
          aria-invalid={error !== undefined}
          aria-describedby={`${id}-hint`}
          onChange={(event) => {
            touched.current = true;
            setText(event.target.value);
          }}
          onFocus={(event) => event.target.select()}
          onBlur={take}
          onKeyDown={onKeyDown}
        />
        <button
          type="button"
          className="step"
          tabIndex={-1}
          disabled={disabled}
          aria-label={`${label} more`}
          onClick={() => stepBy(step)}
        >
          +
        </button>
      </div>
      <div id={`${id}-hint`} className={error ? 'hint error' : 'hint'} role={error ? 'alert' : undefined}>
        {error ?? hint}
      </div>
    </div>
  );
}
