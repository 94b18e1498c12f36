import { ChevronsUpDown } from 'lucide-react';
import { lazy, Suspense } from 'react';
import { Guard } from '../parts/Guard.tsx';
import { useApp, useScreen } from '../state/context.tsx';
import { Foot } from './Foot.tsx';
import { followPointer } from './gesture.ts';
import { PictureToolbar } from './PictureToolbar.tsx';
import { Stage } from './Stage.tsx';

const Plan = lazy(() => import('./Plan.tsx'));

/** The drawing: picture, plan or both, with its toolbar above and what is going on at its foot. */
export function PictureRegion() {
  const pane = useScreen((s) => s.pane);
  return (
    <main className="picture-region" aria-label="Picture">
      <PictureToolbar />
      <div className="panes" data-pane={pane}>
        <Guard region="The picture">
          <Stage />
        </Guard>
        {pane !== 'picture' && (
          <Suspense fallback={<div className="plan" />}>
            <Plan />
          </Suspense>
        )}
      </div>
      <Foot />
      <Seam />
      <HeightKey />
    </main>
  );
}

/** Seam between picture and margin: drags 320 to 560 px, arrows 16 px a step. */
function Seam() {
  const app = useApp();
  const s = useScreen((x) => ({ px: x.marginPx, folded: x.marginFolded, left: x.leftHand }));
  if (s.folded) return null;
  const put = (px: number) => app.set({ marginPx: Math.max(320, Math.min(560, Math.round(px))) });
  const sign = s.left ? 1 : -1;
  return (
    // biome-ignore lint/a11y/useSemanticElements: a window splitter has no native element
    <div
      className="seam"
      role="separator"
      tabIndex={0}
      aria-orientation="vertical"
      aria-label="Margin width"
      aria-valuenow={s.px}
      aria-valuemin={320}
      aria-valuemax={560}
      onPointerDown={(event) => {
        event.preventDefault();
        const before = s.px;
        followPointer(event, {
          onMove: (dx) => put(before + sign * dx),
          onEnd: () => undefined,
          onCancel: () => put(before),
        });
      }}
      onKeyDown={(event) => {
        const by = event.key === 'ArrowLeft' ? -16 : event.key === 'ArrowRight' ? 16 : 0;
        if (by !== 0) put(s.px + sign * by);
      }}
    />
  );
}

const HEIGHTS = [180, 292, 560] as const;

/** Phone upright: picture heights 180, 292 and 560 px; drag up or down, or press for the next one. */
function HeightKey() {
  const app = useApp();
  const now = useScreen((x) => x.phonePictureHeight);
  const put = (px: number) => {
    const nearest = HEIGHTS.reduce((best, h) => (Math.abs(h - px) < Math.abs(best - px) ? h : best));
    app.set({ phonePictureHeight: nearest });
  };
  return (
    <button
      type="button"
      className="height-key"
      aria-label={`Picture height, ${now} pixels`}
      onPointerDown={(event) => {
        event.preventDefault();
        followPointer(event, {
          onMove: (_dx, dy) => put(now + dy),
          onEnd: (moved) => {
            if (!moved) app.set({ phonePictureHeight: HEIGHTS[(HEIGHTS.indexOf(now) + 1) % HEIGHTS.length] ?? 292 });
          },
          onCancel: () => put(now),
        });
      }}
      onKeyDown={(event) => {
        const at = HEIGHTS.indexOf(now);
        if (event.key === 'ArrowDown' || event.key === 'Enter' || event.key === ' ') put(HEIGHTS[Math.min(2, at + 1)] ?? now);
        else if (event.key === 'ArrowUp') put(HEIGHTS[Math.max(0, at - 1)] ?? now);
        else return;
        event.preventDefault();
      }}
    >
      <ChevronsUpDown size={20} aria-hidden="true" />
    </button>
  );
}
