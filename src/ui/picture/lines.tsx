/** Line cased in black on both sides, readable on any ground. */
export function Cased(props: { x1: number; y1: number; x2: number; y2: number; dashed?: boolean }) {
  const { dashed, ...ends } = props;
  return (
    <>
      <line className="case" {...ends} />
      <line className={dashed ? 'line dashed' : 'line'} {...ends} />
    </>
  );
}

export function clampTo(value: number, low: number, high: number): number {
  return Math.max(low, Math.min(Math.max(low, high), value));
}
