import { saturationLuminance } from '../exposure/index.ts';
import type { LightModel, SolveStage } from '../lights/index.ts';
import { createLightModel } from '../lights/index.ts';
import { findMaterial } from '../materials/index.ts';
import { resolvePoweredSources } from '../power/index.ts';
import type { DazzleArea, Finding, Remedy } from '../review/index.ts';
import type { PropertyDocument, SceneModel, Vec3 } from '../scene/index.ts';
import { buildScene } from '../scene/index.ts';
import type { Judge } from './judge.ts';
import type { WorkerReply, WorkerRequest } from './messages.ts';
import { packField, transferOf } from './pack.ts';
import type { HelperPool } from './pool.ts';
import type { PlaceReading, ShowRequest } from './types.ts';

type Post = (reply: WorkerReply, transfer?: ArrayBuffer[]) => void;

/** Time a solve may hold the thread before messages are looked at, ms. */
const SLICE_MS = 8;
/** Pause between pictures of an unfinished solve, ms. */
const PICTURE_EVERY_MS = 60;

/** Everything one property keeps between requests. */
interface Built {
  massing: string;
  scene: SceneModel;
  model: LightModel;
  /** Made when first asked for: its code is fetched after the first picture. */
  judge: Judge | undefined;
  tilesSent: string;
}

/**
 * Works for the page: builds the massing, solves the light in slices, sends what changed, judges when settled.
 * A newer request overtakes an older solve at the next slice. `nextTurn` resolves after waiting messages were read.
 */
export function createPropertySession(post: Post, nextTurn: () => Promise<void>, startHelpers?: () => HelperPool) {
  const helpers = startHelpers?.();
  let pending: ShowRequest | undefined;
  let shown: ShowRequest | undefined;
  let built: Built | undefined;
  let running = false;
  /** The model is in the judging night, not in the shown one. */
  let away = false;
  const waitingRemedies: { call: number; finding: Finding }[] = [];
  const waitingReads: (() => void)[] = [];

  async function run(): Promise<void> {
    if (running) return;
    running = true;
    try {
      for (;;) {
        const remedy = waitingRemedies[0];
        if (pending) {
          const request = pending;
          pending = undefined;
          await serve(request);
        } else if (remedy) {
          waitingRemedies.shift();
          await answerRemedy(remedy);
        } else break;
      }
    } finally {
      running = false;
    }
  }

  async function serve(request: ShowRequest): Promise<void> {
    try {
      const now = ensureBuilt(request);
      shown = request;
      setShown(request, now);
      if (!(await solve(request, now))) return;
      post({ type: 'settled', revision: request.revision, stats: now.model.stats });
      if (request.judge !== false) await judge(request, now);
    } catch (error) {
      post({ type: 'failed', revision: request.revision, message: (error as Error).message, during: 'the light solve' });
    }
  }

  function ensureBuilt(request: ShowRequest): Built {
    const massing = massingKey(request.document);
    if (built?.massing === massing) return built;
    const scene = buildScene(request.document);
    const { surroundings } = request.document.site;
    if (built && isEditOf(built.scene, scene)) {
      const slots = built.model.adoptScene(scene, surroundings);
      Object.assign(built, { massing, scene, tilesSent: tilesKey(built.model.field.tiles) });
      post({ type: 'scene', revision: request.revision, scene });
      // The light as it was, on the new massing, until it is brought up to date: what the page holds of kept tiles stands.
      const { field } = built.model;
      const update = packField(field, { slots, cards: true, strands: true }, request.revision, 'direct', field.tiles);
      post({ type: 'field', update: { ...update, kept: true } }, transferOf(update));
      return built;
    }
    // The page makes its meshes of it while the light is being worked out.
    post({ type: 'scene', revision: request.revision, scene });
    const model = createLightModel(scene, { surroundings });
    built = { massing, scene, model, judge: undefined, tilesSent: '' };
    return built;
  }

  /** True when the solve ran to its end; false when a newer request overtook it. */
  async function solve(request: ShowRequest, now: Built): Promise<boolean> {
    let sliceStart = performance.now();
    let pictureAt = sliceStart;
    let stage: SolveStage = 'direct';
    for (const step of now.model.solve(helpers)) {
      if (step.waiting && helpers) {
        await helpers.news();
        if (pending) return false;
      }
      const time = performance.now();
      const stageEnded = step.stage !== stage;
      if (stageEnded || time - pictureAt > PICTURE_EVERY_MS) {
        if (stageEnded) sendPicture(request, now, stage);
        stage = step.stage;
        post({ type: 'progress', revision: request.revision, text: progressText(step) });
        pictureAt = performance.now();
      }
      if (time - sliceStart > SLICE_MS) {
        await nextTurn();
        if (pending) return false;
        sliceStart = performance.now();
      }
    }
    sendPicture(request, now, 'settled');
    return true;
  }

  function sendPicture(request: ShowRequest, now: Built, stage: SolveStage): void {
    const dirty = now.model.takeDirty();
    const key = tilesKey(now.model.field.tiles);
    const tiles = key === now.tilesSent ? undefined : now.model.field.tiles;
    now.tilesSent = key;
    const update = packField(now.model.field, dirty, request.revision, stage, tiles);
    post({ type: 'field', update }, transferOf(update));
  }

  /** Judges in the judging night, then brings the shown night back. A reading asked for meanwhile starts it anew. */
  async function judge(request: ShowRequest, now: Built): Promise<void> {
    const judging = await judgeOf(now);
    if (pending) return;
    away = true;
    try {
      while (!(await judgeOnce(request, judging))) await showAgain(request, now);
    } finally {
      if (!pending) await showAgain(request, now);
      away = false;
      answerReads();
    }
  }

  /** The judge of a model, its code fetched the first time. */
  async function judgeOf(now: Built): Promise<Judge> {
    const { createJudge } = await import('./judge.ts');
    now.judge ??= createJudge(now.model);
    return now.judge;
  }

  /** True when judged, or overtaken by a newer request; false when a reading waits. */
  async function judgeOnce(request: ShowRequest, judging: Judge): Promise<boolean> {
    for (const state of judging.run(request.document, request.schemeId)) {
      if (state) post({ type: 'judged', state: { ...state, revision: request.revision } });
      await nextTurn();
      if (pending) return true;
      if (waitingReads.length > 0 && !state) return false;
    }
    return true;
  }

  /** Mixes the shown hour and weights again; the page has this picture already. */
  async function showAgain(request: ShowRequest, now: Built): Promise<void> {
    setShown(request, now);
    for (const _ of now.model.solve()) {
      await nextTurn();
      if (pending) return;
    }
    now.model.takeDirty();
    answerReads();
  }

  function setShown(request: ShowRequest, now: Built): void {
    const { document, schemeId, after, conditions } = request;
    now.model.setSources(resolvePoweredSources(document, schemeId, { after, dirt: 'asShown' }), conditions);
  }

  async function answerRemedy(asked: { call: number; finding: Finding }): Promise<void> {
    const request = shown;
    const now = built;
    let remedy: Remedy | undefined;
    const judging = now && (await judgeOf(now));
    if (request && now && judging && !pending) {
      away = true;
      try {
        const steps = judging.remedySteps(request.document, request.schemeId, asked.finding);
        for (;;) {
          const step = steps.next();
          if (step.done) {
            remedy = step.value;
            break;
          }
          await nextTurn();
          if (pending) break;
        }
        if (!pending) await showAgain(request, now);
      } catch {
        remedy = undefined;
      } finally {
        away = false;
        answerReads();
      }
    }
    post({ type: 'remedy', call: asked.call, remedy });
  }

  function answerReads(): void {
    for (const read of waitingReads.splice(0)) read();
  }

  /** Readings speak of the shown hour and weights: they wait while the model is away in another night. */
  function whenShown(read: () => void): void {
    if (away) waitingReads.push(read);
    else read();
  }

  function receive(message: WorkerRequest): void {
    if (message.type === 'show') {
      pending = message.request;
      void run();
    } else if (message.type === 'read') {
      whenShown(() =>
        post({ type: 'reading', call: message.call, reading: attempt(() => readPlace(message.at, message.normal)) }),
      );
    } else if (message.type === 'readAlong') {
      whenShown(() =>
        post({ type: 'reading', call: message.call, reading: attempt(() => readAlong(message.from, message.direction)) }),
      );
    } else if (message.type === 'dazzle') {
      void import('../review/index.ts').then((review) =>
        whenShown(() => post({ type: 'dazzle', call: message.call, area: attempt(() => readDazzle(review, message.lightId)) })),
      );
    } else {
      waitingRemedies.push({ call: message.call, finding: message.finding });
      void run();
    }
  }

  /** Where one light of the shown scheme is seen above the limit of seat glare. */
  function readDazzle(review: typeof import('../review/index.ts'), lightId: string): DazzleArea | undefined {
    if (!built || !shown) return undefined;
    const { document } = shown;
    const scheme = document.schemes.find((s) => s.id === shown?.schemeId);
    const fixture = [...(scheme?.fixtures ?? []), ...document.existing].find((f) => f.id === lightId);
    const lamp = document.catalogue.lamps.find((l) => l.id === fixture?.lampId);
    const limit = review.limitsOf('seatGlare', document).warn;
    return fixture && lamp && limit !== undefined ? review.dazzleArea(built.model, fixture, lamp, limit) : undefined;
  }

  function readPlace(at: Vec3, normal: Vec3): PlaceReading | undefined {
    const off = 0.05;
    const from: Vec3 = [at[0] + normal[0] * off, at[1] + normal[1] * off, at[2] + normal[2] * off];
    return readAlong(from, [-normal[0], -normal[1], -normal[2]]);
  }

  function readAlong(from: Vec3, direction: Vec3): PlaceReading | undefined {
    if (!built || !shown) return undefined;
    const hit = built.model.cast(from, direction);
    if (!hit) return undefined;
    const facing = hit.normal[0] * direction[0] + hit.normal[1] * direction[1] + hit.normal[2] * direction[2] < 0;
    const normal: Vec3 = facing ? hit.normal : [-hit.normal[0], -hit.normal[1], -hit.normal[2]];
    const light = built.model.exactAt(hit.at, normal, { sky: true });
    const material = built.scene.materials[hit.material];
    const rho = material
      ? 0.2126 * material.reflectanceRgb[0] + 0.7152 * material.reflectanceRgb[1] + 0.0722 * material.reflectanceRgb[2]
      : 0;
    const luminanceCdM2 = built.model.luminanceAlong(from, direction).luminanceCdM2;
    const below = built.model.cast([hit.at[0] + normal[0] * 0.02, hit.at[1] + 0.01, hit.at[2] + normal[2] * 0.02], [0, -1, 0]);
    return {
      hit,
      light,
      luminanceCdM2: luminanceCdM2 || (light.totalLx * rho) / Math.PI,
      materialLabel: materialLabel(material?.id),
      aboveGroundM: Math.abs(normal[1]) > 0.7 ? Math.max(0, hit.at[1]) : (below?.distanceM ?? hit.at[1]),
      clipped: luminanceCdM2 > saturationLuminance(shown.document.site.ev100),
    };
  }

  return { receive };
}

const tilesKey = (tiles: LightModel['field']['tiles']): string =>
  tiles.map((t) => `${t.slot}:${t.id}${t.isCrossed ? '+' : ''}`).join();

/** Most faces are still there: the same property, edited. */
function isEditOf(before: SceneModel, after: SceneModel): boolean {
  const ids = new Set(before.faces.map((face) => face.id));
  return 2 * after.faces.filter((face) => ids.has(face.id)).length > Math.max(ids.size, after.faces.length);
}

const massingKey = (d: PropertyDocument): string =>
  JSON.stringify([d.buildings, d.planting, d.ground, d.water, d.site.surroundings, d.site.season]);

function progressText(step: { stage: SolveStage; done: number; of: number }): string {
  if (step.stage === 'direct') return `Light ${Math.min(99, Math.round((100 * step.done) / Math.max(1, step.of)))} % worked out`;
  if (step.stage === 'edges') return 'shadow edges to come';
  return 'bounce to come';
}

function materialLabel(id: string | undefined): string {
  if (!id) return 'surface';
  return findMaterial(id)?.label ?? (id.startsWith('bare-') ? `bare reflectance ${id.slice(5)}` : id);
}

function attempt<T>(action: () => T): T | undefined {
  try {
    return action();
  } catch {
    return undefined;
  }
}
