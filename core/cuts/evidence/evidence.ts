import { nthSmallest } from "../../statistics/median.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";

/** What a cut looks like across its path: a thin `line` (in-sheet), a `step` (lost slug, stripped outline), or a soft `crease`. */
export type CutLook = "line" | "step" | "crease";

/** Whether a path is seen as the slit of a knife, a thin line: neither a crease nor the edge of a gap. */
export function isSlit({ kind, look }: { readonly kind: "cut" | "crease"; readonly look: CutLook }): boolean {
  return kind === "cut" && look === "line";
}

/** How strongly each distance across a chunk looks like the cut, in units of the chunk's own noise, zero where not at all. */
export type Evidence = Float32Array;

/** Widths that the looks are sought with, mm; blur adds to them. */
const LINE_HALF_WIDTH = 0.15;
const CREASE_HALF_WIDTH = 0.8;

/** A chunk's profile as evidence is taken from it: its running sums and its noise; no noise where nothing is seen. */
export interface Profile {
  readonly sums: Float64Array;
  readonly noise: number;
}

export function profileOf(chunk: Chunk): Profile {
  return { sums: runningSums(chunk.profile), noise: chunk.stations === 0 ? 0 : noiseOf(chunk.profile) };
}

/**
 * Evidence for a look along a chunk's profile. A line must differ to the same side from both its flanks (the smaller
 * difference counts), so that a printed edge, which differs from only one, does not pass. For a step see `riseAt`.
 *
 * @param blur sigma of the picture's blur, mm along the normal.
 * @param sign -1: darker line or darkness on the inner (negative) side of a step; +1 the opposite; 0 either.
 * @param own light of a slit itself: where sign is -1, a line on darker ground than that is a brighter one.
 */
export function evidenceOf({ sums, noise }: Profile, grid: StripGrid, look: CutLook, blur: number, sign: -1 | 0 | 1, own = 0): Evidence {
  const out = new Float32Array(grid.count);
  if (noise === 0) return out;
  const half = look === "crease" ? CREASE_HALF_WIDTH : LINE_HALF_WIDTH;
  const core = Math.max(0, Math.round((half + 0.3 * blur) / grid.step));
  const flank = Math.max(2, Math.round((look === "crease" ? 1 : 0.5) / grid.step));
  if (look === "step") {
    for (let t = core + 2 * flank; t < grid.count - core - 2 * flank; t++) out[t] = riseAt(sums, t, core, flank, sign) / noise;
    return out;
  }
  addLines(out, sums, { core, gap: Math.max(core + 1, Math.round((half + 1.6 * blur + 0.1) / grid.step)), flank }, sign, own, noise);
  // Where the picture is sharp enough a line shows between what lies close by on both sides of it, be it the print's edge.
  if (look === "line" && blur < SHARP) addLines(out, sums, { core, gap: core + 1 + Math.round((1.6 * blur) / grid.step), flank: Math.max(2, Math.round(CLOSE / grid.step)) }, sign, own, noise);
  return out;
}

/** Blur, mm, up to which close flanks are looked at, and their width, mm. */
const SHARP = 0.08;
const CLOSE = 0.1;

/** Half the width of a line, the way to its flanks and their width, samples. */
interface LineWindow {
  readonly core: number;
  readonly gap: number;
  readonly flank: number;
}

/** Raises the evidence to that of a line in each place. */
function addLines(out: Evidence, sums: Float64Array, { core, gap, flank }: LineWindow, sign: -1 | 0 | 1, own: number, noise: number): void {
  for (let t = gap + flank; t < out.length - gap - flank; t++) {
    const left = mean(sums, t - gap - flank, t - gap);
    const right = mean(sums, t + gap + 1, t + gap + flank + 1);
    const centre = mean(sums, t - core, t + core + 1);
    const dark = Math.min(left, right) - centre;
    const bright = centre - Math.max(left, right);
    const asked = sign === -1 ? (left + right < 2 * own ? bright : dark) : sign === 1 ? bright : Math.max(dark, bright);
    out[t] = Math.max(out[t], asked / noise);
  }
}

/**
 * Height of a step at t: the normal points outwards, so the left flank is the inner one. Each flank has a near and a far half and both
 * must show the step: beside a thin line the far halves show none, so a slit is not taken for one.
 */
function riseAt(sums: Float64Array, t: number, core: number, flank: number, sign: -1 | 0 | 1): number {
  const half = (k: number): number => {
    const inner = mean(sums, t - core - (k + 1) * flank, t - core - k * flank);
    const outer = mean(sums, t + core + 1 + k * flank, t + core + 1 + (k + 1) * flank);
    return outer - inner;
  };
  const [near, far] = [half(0), half(1)];
  const up = Math.min(near, far);
  const down = Math.min(-near, -far);
  return Math.max(0, sign === 0 ? Math.max(up, down) : sign === -1 ? up : down);
}

/**
 * The one distance across where the mean evidence of all chunks is highest, mm, and that mean: what runs along the whole path counts, what crosses it does not.
 *
 * @param expected where each chunk's cut is expected, mm: distances are from there.
 * @param within how far from there the run may lie, mm.
 */
export function bestRun(chunks: readonly Evidence[], grid: StripGrid, expected: readonly number[] = chunks.map(() => 0), within = grid.reach): { at: number; mean: number } {
  const sums = new Float64Array(grid.count);
  const half = Math.max(1, Math.round(0.15 / grid.step));
  chunks.forEach((evidence, k) => addWidened(sums, evidence, half, Math.round(expected[k] / grid.step)));
  const middle = grid.count >> 1;
  const side = Math.min(middle, Math.round(within / grid.step));
  const asked = sums.subarray(middle - side, middle + side + 1);
  const most = Math.max(...asked);
  // Evidence is capped, so that the most may be a plateau: its middle is asked for.
  return { at: (0.5 * (asked.indexOf(most) + asked.lastIndexOf(most)) - side) * grid.step, mean: most / Math.max(1, chunks.length) };
}

function addWidened(sums: Float64Array, evidence: Evidence, half: number, shift: number): void {
  const [from, to] = [Math.max(half, half + shift), Math.min(sums.length - half, sums.length - half + shift)];
  for (let t = from; t < to; t++) sums[t - shift] += Math.min(Math.max(evidence[t - half], evidence[t], evidence[t + half]), 40);
}

/** Noise of a profile: the median size of its second differences (texture counts as noise), never below a grey level. */
function noiseOf(profile: Float32Array): number {
  const d = new Float64Array(profile.length >> 1);
  let n = 0;
  for (let i = 2; i < profile.length; i += 2) {
    const v = Math.abs(profile[i] - 2 * profile[i - 1] + profile[i - 2]);
    if (!Number.isNaN(v)) d[n++] = v;
  }
  return n === 0 ? 1 : Math.max(0.004, nthSmallest(d.subarray(0, n), n >> 1));
}

function runningSums(profile: Float32Array): Float64Array {
  const sums = new Float64Array(profile.length + 1);
  // Where the picture ends the profile goes on as it was: an edge there would be one of the picture, not of the sheet.
  let last = profile.find((v) => !Number.isNaN(v)) ?? 0;
  for (let i = 0; i < profile.length; i++) {
    if (!Number.isNaN(profile[i])) last = profile[i];
    sums[i + 1] = sums[i] + last;
  }
  return sums;
}

function mean(sums: Float64Array, from: number, to: number): number {
  return (sums[to] - sums[from]) / (to - from);
}
