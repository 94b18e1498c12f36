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
  onTake(value: number, asTyped: string): void;
}

/** Text field with spin-button behaviour and mixed-unit reading. Out of range is refused and the old value stays. */
export function QuantityField(props: QuantityFieldProps) {
  const { label, value, unit, min, max, step, disabled } = props;
  const system = useEditorState((s) => s.session.lengthSystem);
  const shown = showQuantity(value, unit, system, props.decimals);
  const [text, setText] = useState(shown);
  const [error, setError] = useState<string>();
  const touched = useRef(false);
  const id = useId();
  useEffect(() => {
    touched.current = false;
    setText(shown);
  }, [shown]);

  const put = (next: number, typed: string) => {
    const clean = Number(next.toFixed(6));
    setError(undefined);
    touched.current = false;
    if (Math.abs(clean - value) < 1e-9) setText(shown);
    else props.onTake(clean, typed);
  };
  const take = () => {
    if (!touched.current) return;
    const read = takeQuantity(text, unit, system, value, min, max);
    if (read.ok) put(read.value, read.asTyped);
    else {
      setError(read.reason);
      touched.current = false;
      setText(shown);
    }
  };
  const stepBy = (by: number) => {
    const next = Math.min(max, Math.max(min, value + by));
    put(next, showQuantity(next, unit, system, props.decimals));
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const by = event.altKey ? step / 10 : step;
    const moves: Record<string, () => void> = {
      ArrowUp: () => stepBy(by),
      ArrowDown: () => stepBy(-by),
      PageUp: () => stepBy(step * 10),
      PageDown: () => stepBy(-step * 10),
      Enter: take,
    };
    if (unit !== 'm' || event.ctrlKey) {
      if (!touched.current && event.key === 'Home') moves.Home = () => put(min, String(min));
      if (!touched.current && event.key === 'End') moves.End = () => put(max, String(max));
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
  const second = otherReading(value, unit, system);
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
