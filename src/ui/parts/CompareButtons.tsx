import { Fragment, type ReactNode } from 'react';
import { useApp, useScreen } from '../state/context.tsx';

const WAYS = [
  ['wipe', 'Wipe'],
  ['side', 'Side by side'],
] as const;

/** Hold, wipe and side by side, wherever two states are compared; `children` stand after Hold. */
export function CompareButtons({ children }: { children?: ReactNode }) {
  const app = useApp();
  const compare = useScreen((s) => s.compare);
  return (
    <Fragment>
      <button
        type="button"
        onPointerDown={() => app.set({ held: true })}
        onPointerUp={() => app.set({ held: false })}
        onPointerLeave={() => app.set({ held: false })}
      >
        Hold to compare (H)
      </button>
      {children}
      {WAYS.map(([way, word]) => (
        <button
          key={way}
          type="button"
          aria-pressed={compare === way}
          onClick={() => app.set({ compare: compare === way ? 'off' : way })}
        >
          {word}
        </button>
      ))}
    </Fragment>
  );
}
