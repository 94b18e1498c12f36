import { type ReactNode, useId } from 'react';

/** Native select with its label above; options are value and words. */
export function Choice<T extends string>(props: {
  label: string;
  value: T;
  options: readonly (readonly [T, string])[];
  disabled?: boolean;
  onChoose(value: T): void;
}) {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>{props.label}</label>
      <select
        id={id}
        value={props.value}
        disabled={props.disabled}
        onChange={(event) => {
          const found = props.options.find(([value]) => value === event.target.value);
          if (found) props.onChoose(found[0]);
        }}
      >
        {props.options.map(([value, words]) => (
          <option key={value} value={value}>
            {words}
          </option>
        ))}
      </select>
    </div>
  );
}

export function Toggle(props: { label: string; on: boolean; disabled?: boolean; onChange(on: boolean): void }) {
  return (
    <label className="toggle">
      <input
        type="checkbox"
        role="switch"
        aria-checked={props.on}
        checked={props.on}
        disabled={props.disabled}
        onChange={(event) => props.onChange(event.target.checked)}
      />
      <span>{props.label}</span>
    </label>
  );
}

/** Range slider with its figure beside the label; the figure is what is spoken. */
export function Range(props: {
  label: string;
  value: number;
  min: number;
  max: number;
  step: number;
  text: string;
  onChange(value: number): void;
}) {
  const id = useId();
  return (
    <div className="field range">
      <label htmlFor={id}>
        {props.label} <output htmlFor={id}>{props.text}</output>
      </label>
      <input
        id={id}
        type="range"
        min={props.min}
        max={props.max}
        step={props.step}
        value={props.value}
        aria-valuetext={props.text}
        onChange={(event) => props.onChange(Number(event.target.value))}
      />
    </div>
  );
}

/** Text taken on Enter or on leaving; Escape gives the old text back. */
export function TextField(props: {
  label: string;
  value: string;
  multiline?: boolean;
  placeholder?: string;
  onTake(text: string): void;
}) {
  const id = useId();
  const take = (text: string) => {
    if (text !== props.value) props.onTake(text);
  };
  const shared = {
    id,
    defaultValue: props.value,
    placeholder: props.placeholder,
    onBlur: (event: { target: { value: string } }) => take(event.target.value),
  };
  return (
    <div className="field wide">
      <label htmlFor={id}>{props.label}</label>
      {props.multiline ? (
        <textarea key={props.value} rows={2} {...shared} />
      ) : (
        <input
          key={props.value}
          type="text"
          {...shared}
          onKeyDown={(event) => {
            if (event.key === 'Enter') take(event.currentTarget.value);
            if (event.key === 'Escape') {
              event.stopPropagation();
              event.currentTarget.value = props.value;
            }
          }}
        />
      )}
    </div>
  );
}

/** A folded part of a list; the native element keeps keys and names right. */
export function Fold(props: { title: string; note?: string; open?: boolean; children: ReactNode }) {
  return (
    <details className="fold" open={props.open}>
      <summary>
        <span>{props.title}</span>
        {props.note && <span className="second">{props.note}</span>}
      </summary>
      <div className="fold-body">{props.children}</div>
    </details>
  );
}
