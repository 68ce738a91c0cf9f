import { runsOf } from "./runs.ts";

/** A knife that goes off in a bulge passes those beside its farthest place at this share of that at least, on both sides or on one with the other still out: a patch printed round a mark, whose edge touches the cut, draws one chunk alone. */
const ALONG_BULGE = 0.5;

/** Whether an edge was found far off in one chunk alone, those beside it next to nothing. */
export function isAlone(off: readonly (number | null)[], k: number, closed: boolean): boolean {
  const n = off.length;
  const own = off[k] ?? 0;
  const beside = [k - 1, k + 1].map((i) => (closed ? off[(i + n) % n] : off[i]) ?? 0);
  return beside.every((d) => d * Math.sign(own) < ALONG_BULGE * Math.abs(own));
}

/** A knife's way is smooth: what lies off by so much more here and less there from one chunk to the next, mm (root mean square of third differences, over that of a scatter of one), is ragged print that the edge cuts through. */
const ROUGH = 0.08;
/** So many chunks of a run tell that. */
const TELL_ROUGH = 5;

/** Which chunks out of place lie on a run where the knife seemed to have left its path and that is no knife's: letters that lie across the edge of a piece, dark as what is beyond, take bites out of it. */
export function roughRuns(off: readonly (number | null)[], left: readonly boolean[], near: number, closed: boolean): boolean[] {
  const out = off.map(() => false);
  for (const run of runsOf(off.map((d) => d !== null && Math.abs(d) >= near), off.map((d) => d !== null && Math.abs(d) < near), closed)) {
    if (run.length < TELL_ROUGH || !run.some((k) => left[k])) continue;
    const at = run.map((k) => off[k] ?? 0);
    const jolts = at.slice(3).map((d, i) => d - 3 * at[i + 2] + 3 * at[i + 1] - at[i]);
    if (Math.sqrt(jolts.reduce((sum, j) => sum + j * j, 0) / (20 * jolts.length)) > ROUGH) for (const k of run) out[k] = true;
  }
  return out;
}
