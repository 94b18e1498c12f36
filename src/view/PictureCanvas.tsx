import { createRoot, type ReconcilerRoot } from '@react-three/fiber';
import { type ReactNode, useEffect, useLayoutEffect, useRef, useState } from 'react';
import { WebGLRenderer } from 'three';

const LARGEST_PIXEL_RATIO = 2;

interface Kept {
  root: ReconcilerRoot<HTMLCanvasElement>;
  ending: ReturnType<typeof setTimeout> | undefined;
  /** It has a renderer. */
  isReady: boolean;
}

/**
 * A canvas that fills its parent, with a react-three-fiber root that draws on demand. fiber's own `Canvas` would bring the
 * whole of three.js into the page, for elements that the stage, which builds its objects itself, has no use for.
 */
export function PictureCanvas({ children, onNoContext }: { children: ReactNode; onNoContext: () => void }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const kept = useRef<Kept>(undefined);
  const latest = useRef(children);
  latest.current = children;
  const [failure, setFailure] = useState<unknown>();
  if (failure !== undefined) throw failure;

  useLayoutEffect(() => {
    const element = canvas.current!;
    const parent = element.parentElement!;
    kept.current ??= { root: createRoot(element), ending: undefined, isReady: false };
    const own = kept.current;
    // Effects may run twice in development; only an end that lasts gives the canvas up.
    clearTimeout(own.ending);
    const fit = (): void => {
      const { width, height } = parent.getBoundingClientRect();
      if (width === 0 || height === 0) return;
      const ready = own.root.configure({
        gl: createRenderer,
        frameloop: 'demand',
        flat: true,
        linear: true,
        dpr: [1, LARGEST_PIXEL_RATIO],
        size: { width, height, top: 0, left: 0 },
      });
      ready.then(
        () => {
          own.isReady = true;
          own.root.render(latest.current);
        },
        (error: unknown) => (element.getContext('webgl2') ? setFailure(error) : onNoContext()),
      );
    };
    fit();
    const watch = new ResizeObserver(fit);
    watch.observe(parent);
    return () => {
      watch.disconnect();
      own.ending = setTimeout(() => own.root.unmount(), 0);
    };
  }, [onNoContext]);
  useEffect(() => {
    if (kept.current?.isReady && canvas.current?.parentElement?.clientWidth) kept.current?.root.render(children);
  }, [children]);

  return <canvas ref={canvas} style={{ display: 'block', position: 'absolute', inset: 0, width: '100%', height: '100%' }} />;
}

function createRenderer(defaults: { canvas?: unknown }): WebGLRenderer {
  const renderer = new WebGLRenderer({
    canvas: defaults.canvas as HTMLCanvasElement,
    antialias: false,
    alpha: false,
    depth: false,
    stencil: false,
    powerPreference: 'high-performance',
  });
  // To ask each program what went wrong makes the first picture wait for it; the picture alone, which tests draw, asks.
  renderer.debug.checkShaderErrors = import.meta.env.DEV || new URLSearchParams(window.location.search).has('picture');
  return renderer;
}
