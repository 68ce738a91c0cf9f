import { factor } from "../geometry/normalEquations.ts";
import type { PrintPoint } from "../geometry/frames.ts";
import type { CutLook, Evidence } from "./evidence/evidence.ts";
import type { Chunk, StripGrid } from "./strips/strip.ts";

/** A coarse cut-to-print displacement: d(p) = (x, y) + [[a, b], [c, e]] (p - about), mm and mm per mm. */
export interface CoarseShift {
  readonly about: PrintPoint;
  /** x, y, a, b, c, e */
  readonly terms: Float64Array;
}

export interface Witness {
  readonly chunk: Chunk;
  readonly evidence: Evidence;
  /** How much it counts beside those that are what the job has there (default 1): an edge where the job has a slit is mostly the print's own, however plain. */
  readonly counts?: number;
}

/** What a path may be: a look, how its chunks bear witness to it, and how much such witness counts beside that of others. */
export interface Sight {
  readonly look: CutLook;
  readonly witnesses: readonly Witness[];
  readonly weight: number;
}

/** No single chunk may say more than this: one strong printed line must not outweigh the cuts. */
const MOST_EVIDENCE = 8;
/** Priors of the linear terms, mm per mm: sheets lie askew by several mm per metre, feed, print and table stretch by fewer. */
const TURN_PRIOR = 0.005;
const STRETCH_PRIOR = 0.0025;

/**
 * The displacement that most of all cuts agree on. All features are asked together, since printed lines and edges run along
 * single cuts, but never along all of them in the direction of one common shift. First the best pure shift on a grid, then the affine terms by
 * weighted least squares on the evidence near the prediction that weighs most, in a window that narrows.
 */
export function registerCoarsely(witnesses: readonly Witness[], grid: StripGrid): CoarseShift {
  const about = centreOf(witnesses);
  const [x, y] = bestShift(witnesses, grid);
  const terms = Float64Array.from([x, y, 0, 0, 0, 0]);
  for (const window of [1.4, 1.0, 0.7, 0.5, 0.4]) improve(witnesses, grid, about, terms, Math.min(window, grid.reach / 2));
  return { about, terms };
}

/** Displacement along the chunk's normal that the shift predicts, mm. */
export function predictedOffset(shift: CoarseShift, chunk: Pick<Chunk, "x" | "y" | "nx" | "ny">): number {
  const { terms, about } = shift;
  const px = chunk.x - about.x;
  const py = chunk.y - about.y;
  return chunk.nx * (terms[0] + terms[2] * px + terms[3] * py) + chunk.ny * (terms[1] + terms[4] * px + terms[5] * py);
}

/** What a path was traced from. */
export interface SeenPath {
  readonly cut: { readonly kind: "cut" | "crease" };
  readonly sight: Sight;
}

/** The same of paths as they are seen, by the chunks of cuts that are `asked` (all by default; `path`: their path's index). */
export function registerPaths(paths: readonly SeenPath[], grid: StripGrid, asked: (chunk: Chunk, path: number) => boolean = () => true): CoarseShift {
  return registerCoarsely(paths.flatMap(({ cut, sight }, i) => (cut.kind === "cut" ? sight.witnesses.filter((w) => asked(w.chunk, i)) : [])), grid);
}

/** How near to where a shift has it a cut must be seen to speak for it, mm. */
const NEAR = 0.15;
/** Where it is seen less than this share as plainly as at twice the way, it is the foot of what lies there. */
const FOOT = 0.5;

/** How plainly witnesses show the cut where a shift has it: their mean evidence there. */
export function agreementWith(shift: CoarseShift, witnesses: readonly Witness[], grid: StripGrid): number {
  const seen = witnesses.map(({ chunk, evidence }) => {
    const expected = predictedOffset(shift, chunk);
    const here = strengthNear(evidence, grid, expected, NEAR);
    const about = strengthNear(evidence, grid, expected, 2 * NEAR);
    return here < FOOT * about ? 0 : Math.min(MOST_EVIDENCE, here);
  });
  const sum = seen.reduce((all, one) => all + one, 0);
  return sum / Math.max(1, witnesses.length);
}

function centreOf(witnesses: readonly Witness[]): PrintPoint {
  const n = Math.max(1, witnesses.length);
  return {
    x: witnesses.reduce((s, w) => s + w.chunk.x, 0) / n,
    y: witnesses.reduce((s, w) => s + w.chunk.y, 0) / n,
  };
}

function bestShift(witnesses: readonly Witness[], grid: StripGrid): [number, number] {
  // A few hundred chunks spread over the features find the shift as well as all of them.
  const stride = Math.max(1, Math.floor(witnesses.length / 300));
  const some = witnesses.filter((_, i) => i % stride === 0);
  const blurred = some.map((w) => widened(w, Math.round(0.12 / grid.step)));
  const normals = Float64Array.from(some.flatMap(({ chunk }) => [chunk.nx, chunk.ny]));
  const step = 0.12;
  const n = Math.floor((0.8 * grid.reach) / step);
  let best: [number, number] = [0, 0];
  let most = -Infinity;
  for (let i = -n; i <= n; i++) {
    for (let j = -n; j <= n; j++) {
      const sum = agreementAt(i * step, j * step, normals, blurred, grid);
      if (sum > most) {
        most = sum;
        best = [i * step, j * step];
      }
    }
  }
  return best;
}

/** Evidence of all chunks (normals by pairs) for one shift, mm; a large shift is a little less likely. */
function agreementAt(x: number, y: number, normals: Float64Array, evidence: readonly Float32Array[], grid: StripGrid): number {
  let sum = -0.02 * evidence.length * (x * x + y * y);
  for (let k = 0; k < evidence.length; k++) {
    const at = Math.round((normals[2 * k] * x + normals[2 * k + 1] * y + grid.reach) / grid.step);
    if (at >= 0 && at < grid.count) sum += evidence[k][at];
  }
  return sum;
}

/** Running maximum of the capped evidence over +-half samples, as much of it as counts. */
function widened({ evidence, counts = 1 }: Witness, half: number): Float32Array {
  const out = new Float32Array(evidence.length);
  for (let i = 0; i < out.length; i++) {
    let m = 0;
    for (let k = Math.max(0, i - half); k <= Math.min(out.length - 1, i + half); k++) m = Math.max(m, evidence[k]);
    out[i] = counts * Math.min(m, MOST_EVIDENCE);
  }
  return out;
}

function improve(witnesses: readonly Witness[], grid: StripGrid, about: PrintPoint, terms: Float64Array, window: number): void {
  const matrix = new Float64Array(36);
  const right = new Float64Array(6);
  const sigma = 0.3 * window;
  for (let i = 0; i < 6; i++) matrix[7 * i] = i < 2 ? 1e-3 : (0.15 / (i === 2 || i === 5 ? STRETCH_PRIOR : TURN_PRIOR)) ** 2;
  for (const { chunk, evidence, counts = 1 } of witnesses) {
    const expected = predictedOffset({ about, terms }, chunk);
    const peak = heaviestNear(evidence, grid, expected, window, sigma);
    if (!peak) continue;
    const weight = counts * peak.weight;
    const px = chunk.x - about.x;
    const py = chunk.y - about.y;
    const row = [chunk.nx, chunk.ny, chunk.nx * px, chunk.nx * py, chunk.ny * px, chunk.ny * py];
    for (let i = 0; i < 6; i++) {
      right[i] += weight * row[i] * peak.t;
      for (let j = 0; j < 6; j++) matrix[6 * i + j] += weight * row[i] * row[j];
    }
  }
  const solved = factor(matrix, 6);
  if (!("undetermined" in solved)) terms.set(solved.solve(right));
}

/** The first and the last sample within +-window of `expected` that have neighbours. */
function samplesNear(grid: StripGrid, expected: number, window: number): readonly [from: number, to: number] {
  return [Math.max(1, Math.ceil((expected - window + grid.reach) / grid.step)), Math.min(grid.count - 2, Math.floor((expected + window + grid.reach) / grid.step))];
}

/** How strong the evidence is at the most within +-window of `expected`; 0 where there is none. */
function strengthNear(evidence: Evidence, grid: StripGrid, expected: number, window: number): number {
  const [from, to] = samplesNear(grid, expected, window);
  let most = 0;
  for (let i = from; i <= to; i++) if (evidence[i] > most) most = evidence[i];
  return most;
}

/**
 * The peak of the evidence within +-window of `expected` that weighs most, to a fraction of a step: less the farther off it is (Cauchy weights of width `sigma`), and no more beyond what a single chunk may say, since a line that is printed beside
 * the cut may be plainer than its slit. Null where there is none.
 */
function heaviestNear(evidence: Evidence, grid: StripGrid, expected: number, window: number, sigma: number): { t: number; weight: number } | null {
  const [from, to] = samplesNear(grid, expected, window);
  let best: { t: number; weight: number } | null = null;
  for (let i = from; i <= to; i++) {
    const [a, b, c] = [evidence[i - 1], evidence[i], evidence[i + 1]];
    if (!(b > 0) || b < a || b <= c) continue;
    const bend = a - 2 * b + c;
    const t = (i + Math.max(-0.5, Math.min(0.5, (0.5 * (a - c)) / bend))) * grid.step - grid.reach;
    const weight = Math.min(b, MOST_EVIDENCE) / (1 + ((t - expected) / sigma) ** 2);
    if (!best || weight > best.weight) best = { t, weight };
  }
  return best;
}
