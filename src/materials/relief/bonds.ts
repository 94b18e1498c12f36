/** Which unit of a bond a place falls in: bricks, slates, flags, boards. */

/** Metric brick 215 × 65 (header 102.5) with 10 mm joints, course 75 mm. */
export const BRICK = { stretcherM: 0.215, headerM: 0.1025, faceM: 0.065, jointM: 0.01 } as const;
export const COURSE_M = BRICK.faceM + BRICK.jointM;
export const FLEMISH_PITCH_M = BRICK.stretcherM + BRICK.headerM + 2 * BRICK.jointM;

export interface Unit {
  /** Distance to the unit's nearest edge, metres, positive inside. */
  insideM: number;
  /** Place from the unit's centre, metres. */
  sM: number;
  tM: number;
  column: number;
  course: number;
}

/** Which brick of a Flemish bond a place falls in; joints are shared half and half. */
export function flemishUnit(s: number, t: number): Unit {
  const course = Math.floor(t / COURSE_M);
  const x = s + (course & 1 ? FLEMISH_PITCH_M / 2 : 0);
  const pair = Math.floor(x / FLEMISH_PITCH_M);
  const along = x - pair * FLEMISH_PITCH_M;
  const stretcherCell = BRICK.stretcherM + BRICK.jointM;
  const header = along >= stretcherCell;
  const width = header ? BRICK.headerM : BRICK.stretcherM;
  const sM = header ? along - stretcherCell - (BRICK.headerM + BRICK.jointM) / 2 : along - stretcherCell / 2;
  const tM = t - (course + 0.5) * COURSE_M;
  return { insideM: inside(sM, tM, width, BRICK.faceM), sM, tM, column: pair * 2 + (header ? 1 : 0), course };
}

/**
 * English bond: courses of stretchers and courses of headers in turn, a quarter of a stretcher's pitch overlap; header courses
 * are the odd ones. Where a face begins, half a header stands at the corner and not, as bricklayers do it, a whole one with
 * the closer beside it: the relief repeats and does not know corners.
 */
export function englishUnit(s: number, t: number): Unit {
  const course = Math.floor(t / COURSE_M);
  const stretcherCell = BRICK.stretcherM + BRICK.jointM;
  const header = (course & 1) === 1;
  const pitch = header ? stretcherCell / 2 : stretcherCell;
  const x = header ? s - stretcherCell / 4 : s;
  const column = Math.floor(x / pitch);
  const sM = x - (column + 0.5) * pitch;
  const tM = t - (course + 0.5) * COURSE_M;
  return { insideM: inside(sM, tM, pitch - BRICK.jointM, BRICK.faceM), sM, tM, column, course };
}

/** Running bond with half overlap. */
export function runningUnit(s: number, t: number, pitchS: number, pitchT: number, joint: number): Unit {
  const course = Math.floor(t / pitchT);
  const x = s + (course & 1 ? pitchS / 2 : 0);
  const column = Math.floor(x / pitchS);
  const sM = x - (column + 0.5) * pitchS;
  const tM = t - (course + 0.5) * pitchT;
  return { insideM: inside(sM, tM, pitchS - joint, pitchT - joint), sM, tM, column, course };
}

/** Units above one another: boards and square tiles. */
export function stackUnit(s: number, t: number, pitchS: number, pitchT: number, joint: number): Unit {
  const column = Math.floor(s / pitchS);
  const course = Math.floor(t / pitchT);
  const sM = s - (column + 0.5) * pitchS;
  const tM = t - (course + 0.5) * pitchT;
  return { insideM: inside(sM, tM, pitchS - joint, pitchT - joint), sM, tM, column, course };
}

/** Signed distance to a rectangle with corners rounded by 2 mm, positive inside. */
function inside(s: number, t: number, width: number, height: number): number {
  const r = 0.002;
  const qs = Math.abs(s) - width / 2 + r;
  const qt = Math.abs(t) - height / 2 + r;
  return r - Math.hypot(Math.max(qs, 0), Math.max(qt, 0)) - Math.min(Math.max(qs, qt), 0);
}
