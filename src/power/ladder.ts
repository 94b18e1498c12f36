/** What hangs on a node. `constantPower` in volt-amperes, `resistive` in ohm, `constantCurrent` in amperes. */
export type Load =
  | { kind: 'constantPower'; voltAmperes: number }
  | { kind: 'resistive'; ohm: number }
  | { kind: 'constantCurrent'; amperes: number };

/** A tree fed by one ideal source. Node i hangs on `parent` (−1: the source) by `ohm` of loop resistance; parents come first. */
export interface LadderNode {
  parent: number;
  ohm: number;
  load?: Load;
}

export interface LadderSolution {
  /** Volts at each node. */
  volts: Float64Array;
  /** Current from the parent into each node, A. */
  amperes: Float64Array;
}

const MAX_STEPS = 400;
const TOLERANCE_V = 1e-12;

/**
 * Solves a tree of resistances with constant-power, resistive and constant-current loads.
 *
 *     (V_parent − V_i)/R_i = Σ_children (V_i − V_c)/R_c + I_i(V_i),   I = S/V,  V/R  or  constant
 *
 * Newton's method from the source voltage downward. The node balance is concave in the volts and its Jacobian an M-matrix
 * above the highest solution, so the iterates fall monotonically onto that solution where one exists (Ortega and
 * Rheinboldt, monotone Newton theorem). A pivot or a voltage at or below zero therefore proves that there is none:
 * the load asks for more than the cable can pass (for one lump: S > V0²/4R).
 *
 * Validity: magnitudes only, currents of all loads taken in phase. That overstates the drop where power factors differ.
 *
 * @param sourceV volts of the source, > 0.
 * @returns undefined where no operating point exists.
 * @throws {RangeError} a node before its parent, or a resistance that is not positive.
 */
export function solveLadder(sourceV: number, nodes: readonly LadderNode[]): LadderSolution | undefined {
  checkNodes(sourceV, nodes);
  const volts = new Float64Array(nodes.length).fill(sourceV);
  for (let step = 0; step < MAX_STEPS; step++) {
    const fall = newtonStep(sourceV, nodes, volts);
    if (fall === undefined) return undefined;
    let largest = 0;
    for (let i = 0; i < nodes.length; i++) {
      volts[i]! += fall[i]!;
      if (!(volts[i]! > 0)) return undefined;
      largest = Math.max(largest, Math.abs(fall[i]!));
    }
    if (largest <= TOLERANCE_V * sourceV) return { volts, amperes: branchCurrents(nodes, volts) };
  }
  return undefined;
}

function checkNodes(sourceV: number, nodes: readonly LadderNode[]): void {
  if (!(sourceV > 0)) throw new RangeError(`source of ${sourceV} V; more than 0 V is needed`);
  nodes.forEach((node, i) => {
    if (!(node.parent < i)) throw new RangeError(`node ${i} comes before its parent ${node.parent}`);
    if (!(node.ohm > 0)) throw new RangeError(`node ${i} hangs on ${node.ohm} ohm; more than 0 is needed`);
  });
}

/** One Newton step, by elimination from the leaves to the source and back. */
function newtonStep(sourceV: number, nodes: readonly LadderNode[], volts: Float64Array): Float64Array | undefined {
  const n = nodes.length;
  const residual = new Float64Array(n);
  const pivot = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const { parent, ohm, load } = nodes[i]!;
    const current = ((parent < 0 ? sourceV : volts[parent]!) - volts[i]!) / ohm;
    residual[i]! += current - loadCurrent(load, volts[i]!);
    pivot[i]! += 1 / ohm + loadSlope(load, volts[i]!);
    if (parent >= 0) {
      residual[parent]! -= current;
      pivot[parent]! += 1 / ohm;
    }
  }
  for (let i = n - 1; i >= 0; i--) {
    if (!(pivot[i]! > 0)) return undefined;
    const { parent, ohm } = nodes[i]!;
    if (parent < 0) continue;
    const share = 1 / ohm / pivot[i]!;
    pivot[parent]! -= share / ohm;
    residual[parent]! += share * residual[i]!;
  }
  const change = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const { parent, ohm } = nodes[i]!;
    change[i] = (residual[i]! + (parent < 0 ? 0 : change[parent]! / ohm)) / pivot[i]!;
  }
  return change;
}

/** Current of a load at its volts, A. */
export function loadCurrent(load: Load | undefined, V: number): number {
  if (!load) return 0;
  if (load.kind === 'constantPower') return load.voltAmperes / V;
  return load.kind === 'resistive' ? V / load.ohm : load.amperes;
}

function loadSlope(load: Load | undefined, V: number): number {
  if (load?.kind === 'constantPower') return -load.voltAmperes / (V * V);
  return load?.kind === 'resistive' ? 1 / load.ohm : 0;
}

/** Sum of the load currents beyond each branch: exact even where the volts of its two ends agree to the last digit. */
function branchCurrents(nodes: readonly LadderNode[], volts: Float64Array): Float64Array {
  const amperes = new Float64Array(nodes.length);
  for (let i = nodes.length - 1; i >= 0; i--) {
    const { parent, load } = nodes[i]!;
    amperes[i]! += loadCurrent(load, volts[i]!);
    if (parent >= 0) amperes[parent]! += amperes[i]!;
  }
  return amperes;
}
