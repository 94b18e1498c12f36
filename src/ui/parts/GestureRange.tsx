import { useId, useRef } from 'react';
import type { PropertyDocument } from '../../scene/index.ts';
import { useApp } from '../state/context.tsx';

/** Slider that changes the document: one drag is one undo step, each key press is one. */
export function GestureRange(props: {
  label: string;
  /** Name of the undo step. */
  step: string;
  value: number;
  min: number;
  max: number;
  by: number;
  text: string;
  change(value: number): (document: PropertyDocument) => PropertyDocument;
}) {
  const app = useApp();
  const id = useId();
  const dragging = useRef(false);
  const end = () => {
    if (dragging.current) app.editor.commitGesture();
    dragging.current = false;
  };
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
        step={props.by}
        value={props.value}
        aria-valuetext={props.text}
        onPointerDown={() => {
          app.editor.beginGesture(props.step);
          dragging.current = true;
        }}
        onPointerUp={end}
        onPointerCancel={end}
        onBlur={end}
        onChange={(event) => {
          const change = props.change(Number(event.target.value));
          if (dragging.current) app.editor.preview(change);
          else app.editor.edit(props.step, change);
        }}
      />
    </div>
  );
}
