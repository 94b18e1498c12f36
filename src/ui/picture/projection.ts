import { useLayoutEffect, useState } from 'react';
import type { Vec3 } from '../../scene/index.ts';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';

export interface Spot {
  x: number;
  y: number;
  inFront: boolean;
}

export type Project = (point: Vec3) => Spot | undefined;

/** World → pixels of the stage, brought up to date after each camera change and each drawing. */
export function useProjection(): Project {
  const app = useApp();
  const camera = useEditorState((s) => s.session.camera);
  const drawn = useScreen((s) => s.drawn);
  const [, refresh] = useState(0);
  // biome-ignore lint/correctness/useExhaustiveDependencies: the handle's camera changes with these, not with its identity
  useLayoutEffect(() => refresh((n) => n + 1), [camera, drawn === 0]);
  return (point) => {
    const p = app.picture.current?.project(point);
    return p ? { x: p.xPx, y: p.yPx, inFront: p.inFront } : undefined;
  };
}

/** Moves later plates down a step until they cover no earlier one. */
export function spread<T extends { x: number; y: number; wide?: number }>(spots: T[], width: number, height: number): T[] {
  const placed: T[] = [];
  for (const spot of spots) {
    const next = { ...spot };
    for (let tries = 0; tries < 12; tries++) {
      const clash = placed.some(
        (p) => Math.abs(p.x - next.x) < Math.max(width, p.wide ?? 0, next.wide ?? 0) && Math.abs(p.y - next.y) < height,
      );
      if (!clash) break;
      next.y += tries % 2 === 0 ? -height * (tries + 1) : height * (tries + 1);
    }
    placed.push(next);
  }
  return placed;
}
