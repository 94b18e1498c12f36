import { useFrame, useThree } from '@react-three/fiber';
import { type Ref, useCallback, useEffect, useImperativeHandle, useRef, useState } from 'react';
import type { WebGLRenderer } from 'three';
import { listenToField, rememberField } from './field/fieldMemory.ts';
import { PictureCanvas } from './PictureCanvas.tsx';
import { encodePng } from './png.ts';
import { Stage } from './stage.ts';
import type { NightPictureHandle, NightPictureProps } from './types.ts';

const MISSING =
  'The picture cannot be drawn: this browser offers no WebGL 2. Turn on hardware acceleration or use another browser; numbers, lists and files work without it.';
const LOST =
  'The graphics card dropped the picture. It is drawn again as soon as the browser gives the card back; nothing is lost.';
/** Still time before the averaged picture is worked out. */
const STILL_MS = 160;

/**
 * The lit property as seen from `camera`. Draws only after something changed: at once with smoothed edges
 * (`data-stage="drawn"`), then, when nothing moved for a moment, the mean of four shifted pictures (`data-stage="refined"`).
 * In between it says `changed`. `data-drawn-revision` is the revision of the light shown, `data-relief` says `ready` once the
 * reliefs, worked out in a worker after the first picture, are drawn. `data-shows`: picture, eye, lux or luminance.
 */
export function NightPicture(props: NightPictureProps & { ref?: Ref<NightPictureHandle> }) {
  const [able, setAble] = useState(typeof WebGL2RenderingContext === 'function');
  const frame = useRef<HTMLDivElement>(null);
  // The canvas mounts a moment later; nothing the worker says until then may be lost.
  useState(() => rememberField(props.client));
  const noContext = useCallback(() => setAble(false), []);
  const { onTrouble } = props;
  useEffect(() => {
    if (!able) onTrouble?.(MISSING);
  }, [able, onTrouble]);
  return (
    <div ref={frame} data-picture="" data-stage="empty" style={{ position: 'relative', width: '100%', height: '100%' }}>
      {able ? (
        <PictureCanvas onNoContext={noContext}>
          <StageView {...props} frame={frame} />
        </PictureCanvas>
      ) : null}
    </div>
  );
}

type StageViewProps = NightPictureProps & { ref?: Ref<NightPictureHandle>; frame: React.RefObject<HTMLDivElement | null> };

/** Inside the canvas: owns the stage, feeds it props and worker events, and turns frames into pictures. */
function StageView(props: StageViewProps) {
  const gl = useThree((state) => state.gl);
  const size = useThree((state) => state.size);
  const pixelRatio = useThree((state) => state.viewport.dpr);
  const invalidate = useThree((state) => state.invalidate);
  const { stage, request, work } = useStage(gl, invalidate, props.frame);
  const revision = useRef(0);
  const latest = useRef(props);
  latest.current = props;

  useWorkerEvents(props.client, stage, revision);
  useEffect(() => stage.setPose(props.camera), [stage, props.camera]);
  useEffect(() => stage.setConditions(props.conditions), [stage, props.conditions]);
  useEffect(() => stage.setSurroundings(props.surroundings ?? 'suburb'), [stage, props.surroundings]);
  useEffect(() => stage.setLights(props.lights), [stage, props.lights]);
  useEffect(() => stage.resize(size.width * pixelRatio, size.height * pixelRatio), [stage, size, pixelRatio]);
  const { ev100, falseColour, markClipped, map, adaptedCdM2 } = props;
  useEffect(() => {
    const output = falseColour === 'off' ? 'picture' : falseColour;
    stage.setSettings({ ev100, output, markClipped, map, adaptedCdM2 });
  }, [stage, ev100, falseColour, markClipped, map, adaptedCdM2]);
  useContextLoss(gl, stage, latest);

  const report = useCallback(
    (refined: boolean) => {
      const element = latest.current.frame.current;
      if (element) {
        element.dataset.stage = refined ? 'refined' : 'drawn';
        element.dataset.drawnRevision = String(revision.current);
        const { output, adaptedCdM2 } = stage.look;
        element.dataset.shows = output === 'picture' && adaptedCdM2 !== undefined ? 'eye' : output;
        element.dataset.relief = stage.reliefsReady ? 'ready' : 'pending';
      }
    },
    [stage],
  );

  useFrame(() => {
    const step = work.current;
    work.current = 'nothing';
    if (!stage.hasScene || step === 'nothing') return;
    if (step === 'draw') {
      stage.drawNow(performance.now());
      report(false);
      stage.clippedShare().then((share) => {
        if (share !== undefined) latest.current.onDrawn?.({ clippedShare: share, width: size.width, height: size.height });
      });
      request.afterStill();
    } else if (stage.refineStep()) request.refine();
    else if (stage.isRefined) report(true);
  }, 1);

  useImperativeHandle(props.ref, () => handleOf(stage, gl, latest), [stage, gl]);
  return null;
}

type Work = 'nothing' | 'draw' | 'refine';

/** A stage for a renderer, and what the next frame is for. A change always comes before refining. */
function useStage(gl: WebGLRenderer, invalidate: () => void, frame: StageViewProps['frame']) {
  const work = useRef<Work>('nothing');
  const [parts] = useState(() => {
    let timer: ReturnType<typeof setTimeout> | undefined;
    const refine = (): void => {
      if (work.current === 'nothing') work.current = 'refine';
      invalidate();
    };
    const request = {
      draw: (): void => {
        clearTimeout(timer);
        work.current = 'draw';
        if (frame.current) frame.current.dataset.stage = 'changed';
        invalidate();
      },
      refine,
      afterStill: (): void => {
        clearTimeout(timer);
        timer = setTimeout(refine, STILL_MS);
      },
      stop: (): void => clearTimeout(timer),
    };
    const ending: { timer: ReturnType<typeof setTimeout> | undefined } = { timer: undefined };
    return { stage: new Stage(gl, request.draw), request, ending };
  });
  useEffect(() => {
    // Effects may run twice in development; only an end that lasts frees the stage.
    clearTimeout(parts.ending.timer);
    return () => {
      parts.request.stop();
      parts.ending.timer = setTimeout(() => parts.stage.dispose(), 0);
    };
  }, [parts]);
  return { ...parts, work };
}

function useWorkerEvents(client: NightPictureProps['client'], stage: Stage, revision: React.RefObject<number>): void {
  useEffect(
    () =>
      listenToField(client, {
        setScene: (scene) => stage.setScene(scene),
        setField(update) {
          revision.current = update.revision;
          stage.setField(update);
        },
      }),
    [client, stage, revision],
  );
}

function useContextLoss(gl: WebGLRenderer, stage: Stage, latest: React.RefObject<StageViewProps>): void {
  useEffect(() => {
    const canvas = gl.domElement;
    const lost = (event: Event): void => {
      event.preventDefault();
      latest.current.onTrouble?.(LOST);
    };
    const restored = (): void => {
      stage.restore();
      latest.current.onTrouble?.(undefined);
    };
    canvas.addEventListener('webglcontextlost', lost);
    canvas.addEventListener('webglcontextrestored', restored);
    return () => {
      canvas.removeEventListener('webglcontextlost', lost);
      canvas.removeEventListener('webglcontextrestored', restored);
    };
  }, [gl, stage, latest]);
}

function handleOf(stage: Stage, gl: WebGLRenderer, latest: React.RefObject<StageViewProps>): NightPictureHandle {
  const box = (): { width: number; height: number } => {
    const element = latest.current.frame.current;
    return { width: element?.clientWidth ?? 1, height: element?.clientHeight ?? 1 };
  };
  return {
    project(point) {
      const { width, height } = box();
      const p = stage.project(point);
      return { xPx: p.x * width, yPx: p.y * height, inFront: p.inFront };
    },
    ray(xPx, yPx) {
      const { width, height } = box();
      return stage.ray(xPx / width, yPx / height);
    },
    async png(width, height) {
      return encodePng(await stage.pixels(width, height), width, height);
    },
    survey: (output, width) => stage.survey(output, width),
    canvas: () => gl.domElement,
    async benchFrames() {
      const { benchFrames } = await import('./bench/benchFrames.ts');
      return benchFrames(stage, gl, latest.current.lights);
    },
  };
}
