import { useEffect, useRef } from 'react';
import type { StripCell } from '../state/screen.ts';
import { ExposurePanel } from './ExposurePanel.tsx';
import { LoadPanel } from './LoadPanel.tsx';
import { PicturePanel } from './PicturePanel.tsx';
import { SchemePanel } from './SchemePanel.tsx';
import { TimePanel } from './TimePanel.tsx';

const TITLE: Record<StripCell, string> = {
  load: 'Load',
  picture: 'Picture',
  time: 'Time',
  exposure: 'Exposure',
  scheme: 'Scheme',
};

/** Opens upward over the picture's foot, at most 300 px high; Escape and its button close it, focus returns to the cell. */
export default function CellPanel({ cell, onClose }: { cell: StripCell; onClose(): void }) {
  const ref = useRef<HTMLElement>(null);
  useEffect(() => {
    ref.current?.focus();
    return () => document.querySelector<HTMLElement>(`.strip [data-cell="${cell}"]`)?.focus();
  }, [cell]);
  return (
    <section ref={ref} className="cell-panel" data-cell={cell} aria-label={TITLE[cell]} tabIndex={-1}>
      <header className="plate-head">
        <h2>{TITLE[cell]}</h2>
        <button type="button" onClick={onClose}>
          Close
        </button>
      </header>
      {cell === 'load' && <LoadPanel />}
      {cell === 'picture' && <PicturePanel />}
      {/* On the phone the time joins the Picture cell. */}
      {cell === 'picture' && (
        <div className="phone-only">
          <TimePanel />
        </div>
      )}
      {cell === 'time' && <TimePanel />}
      {cell === 'exposure' && <ExposurePanel />}
      {cell === 'scheme' && <SchemePanel />}
    </section>
  );
}
