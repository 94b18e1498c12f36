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

/** Cased line through points of the picture; a gap where a point is missing or behind the eye. */
export function CasedPath({ points, closed, dashed }: { points: (Pixel | undefined)[]; closed?: boolean; dashed?: boolean }) {
  let pen = 'M';
  const d = [...points, ...(closed ? points.slice(0, 1) : [])]
    .map((p) => {
      if (!p?.inFront) {
        pen = 'M';
        return '';
      }
      const step = `${pen}${p.x.toFixed(1)},${p.y.toFixed(1)}`;
      pen = 'L';
      return step;
    })
    .join(' ');
  return (
    <>
      <path className="case" d={d} />
      <path className={dashed ? 'line dashed' : 'line'} d={d} />
    </>
  );
}

interface Pixel {
  x: number;
  y: number;
  inFront: boolean;
}
