import { factor } from "../geometry/normalEquations.ts";
import type { Chunk, StripGrid } from "./strip.ts";

/**
 * A slit has a lip where the blade went in: a bright edge on the lit side, a shaded one on the other. A symmetric line fitted to
 * that profile lies off its slit towards the shade, by the same amount wherever the cut runs in the same direction, so it would pass for an offset.
 * Here the profiles of all chunks of one direction are laid on each other, which leaves hardly any noise, and fitted as slit and two lips.
 */
export interface LipBias {
  /** What to add to t, mm. */
  readonly shift: number;
  /** Standard uncertainty of the shift, mm. */
  readonly sigma: number;
}

export interface Aligned {
  readonly chunk: Chunk;
  /** Where the symmetric fit put the line, mm. */
  readonly t: number;
}

/** Distances of a lip from the slit's middle that are tried, mm, and slit and lip spreads (sigma, mm) before blur. */
const DISTANCES = [0.12, 0.17, 0.23, 0.3, 0.4];
const SLITS = [0.05, 0.08, 0.12, 0.17];
const LIP_SPREAD = 0.06;
/** Reach of the pooled profile, mm beyond three blurs. */
const REACH = 0.55;
/** The lips must lower the squares by this factor to be believed. */
const BELIEVED = 0.35;
/**
 * Standard uncertainty where blur melts slit and lips into one line, whose place no profile can tell from a lip: mm, and mm per mm of blur. A lip and its shade
 * 0.2 mm beside the slit, with a twentieth to a tenth of its light, draw it by as much (common practice, no source).
 */
const MELTED = 0.012;
const MELTED_BY_BLUR = 0.02;
/** A lip draws a line by less than this, mm: more would not be a lip. */
const MOST_SHIFT = 0.08;
/** A lip is brighter than the board by at least this share of the slit's depth, and one side's differs from the other's by half of it. */
const LEAST_LIP = 0.08;
/** Blur, mm, up to which slit and lip are told apart, and from which they melt into one: there the bias goes into the budget instead. */
export const RESOLVED = 0.08;
const MELTS = 0.12;
/** Fewer chunks than this are not pooled. */
const FEWEST = 6;

/** Standard uncertainty of a line whose lips are melted into it, mm; `blur`: mm along the normal. */
export function meltedLip(blur: number): number {
  return MELTED + MELTED_BY_BLUR * blur;
}

/** 0 where slit and lip are told apart, 1 where they melt into one. */
function meltedShare(blur: number): number {
  return Math.max(0, Math.min(1, (blur - RESOLVED) / (MELTS - RESOLVED)));
}

/** Standard uncertainty of a line whose lip is not fitted, mm; `asymmetry` of its profile: odd part over even part, root mean square. `blur`: mm along the normal. */
export function lipDoubt(blur: number, asymmetry: number): number {
  return blur > MELTS ? meltedLip(blur) : Math.hypot(0.5 * asymmetry * Math.hypot(SLITS[1], blur), meltedShare(blur) * meltedLip(blur));
}

/** The bias of the symmetric fit for the chunks of one direction; zero where no lip is seen, with what its asymmetry leaves uncertain. `blur`: mm along the normal. */
export function lipBias(chunks: readonly Aligned[], grid: StripGrid, blur: number): LipBias {
  const unknown = { shift: 0, sigma: meltedLip(blur) };
  if (chunks.length < FEWEST) return unknown;
  const half = Math.floor((REACH + 1.5 * blur) / grid.step);
  const profile = pooled(chunks, grid, half);
  if (!profile) return unknown;
  if (blur > MELTS) return unknown;
  const none = { shift: 0, sigma: lipDoubt(blur, asymmetryOf(profile)) };
  if (meltedShare(blur) > 0.5) return none;
  const plain = best(profile, grid.step, half, blur, [null]);
  const lipped = best(profile, grid.step, half, blur, DISTANCES);
  if (!plain || !lipped || lipped.squares > BELIEVED * plain.squares || lipped.sigma > 0.04 || Math.abs(lipped.shift - plain.shift) > MOST_SHIFT) return none;
  return { shift: lipped.shift - plain.shift, sigma: Math.hypot(lipped.sigma, 0.5 * none.sigma) };
}

/** Two directions' biases agree within this, mm. */
const ALIKE = 0.012;

/**
 * Keeps a direction's bias only where the opposite direction bears it out: a lip to the light draws both edges of a piece the same way on the sheet (opposite along their
 * normals), a lip on the inside draws both alike. What stands alone is doubt, not bias. `lips`: by direction, evenly round the circle.
 */
export function borneOut(lips: readonly LipBias[]): LipBias[] {
  return lips.map((lip, k) => {
    if (lip.shift === 0) return lip;
    const opposite = lips[(k + lips.length / 2) % lips.length].shift;
    const agrees = opposite !== 0 && Math.abs(Math.abs(lip.shift) - Math.abs(opposite)) < ALIKE;
    return agrees ? lip : { shift: 0, sigma: Math.hypot(lip.sigma, 0.5 * Math.abs(lip.shift)) };
  });
}

/** Odd part of the profile over its even part, root mean square: 0 for a symmetric slit. An unmodelled lip moves a line by about half of this times its width. */
function asymmetryOf(profile: Float64Array): number {
  let odd = 0;
  let even = 0;
  for (let i = 0, k = profile.length - 1; i < k; i++, k--) {
    odd += (profile[i] - profile[k]) ** 2;
    even += (profile[i] + profile[k]) ** 2;
  }
  return even > 0 ? Math.min(1, Math.sqrt(odd / even)) : 1;
}

function pooled(chunks: readonly Aligned[], grid: StripGrid, half: number): Float64Array | null {
  const columns: number[][] = Array.from({ length: 2 * half + 1 }, () => []);
  for (const { chunk, t } of chunks) {
    const start = (t + grid.reach) / grid.step - half;
    const k = Math.floor(start);
    const f = start - k;
    if (k < 0 || k + 2 * half + 1 >= grid.count) continue;
    // Levelled at both ends, so that the tones of the artwork do not add scatter.
    const left = chunk.profile[k];
    const right = chunk.profile[k + 2 * half];
    for (let i = 0; i <= 2 * half; i++) {
      const v = chunk.profile[k + i] * (1 - f) + chunk.profile[k + i + 1] * f;
      if (!Number.isNaN(v)) columns[i].push(v - left + ((left - right) * i) / (2 * half));
    }
  }
  if (columns[0].length < FEWEST) return null;
  return Float64Array.from(columns, (c) => {
    c.sort((a, b) => a - b);
    const skip = c.length >> 2;
    const middle = c.slice(skip, c.length - skip);
    return middle.reduce((s, v) => s + v, 0) / middle.length;
  });
}

interface PooledFit {
  readonly shift: number;
  readonly sigma: number;
  readonly squares: number;
}

function best(profile: Float64Array, step: number, half: number, blur: number, distances: readonly (number | null)[]): PooledFit | null {
  let found: PooledFit | null = null;
  for (const distance of distances) {
    if (distance !== null && distance < 1.5 * blur) continue;
    for (const slit of SLITS) {
      const fit = fitPooled(profile, step, half, Math.hypot(slit, blur), distance, Math.hypot(LIP_SPREAD, blur));
      if (fit && (!found || fit.squares < found.squares)) found = fit;
    }
  }
  return found;
}

/** Ground, slope, slit, its derivative, and a Gaussian at +-distance for the lips; linearised in the place, repeated. */
function fitPooled(profile: Float64Array, step: number, half: number, width: number, distance: number | null, lip: number): PooledFit | null {
  const n = distance === null ? 4 : 6;
  let centre = 0;
  for (let pass = 0; pass < 8; pass++) {
    const matrix = new Float64Array(n * n);
    const right = new Float64Array(n);
    const row = new Float64Array(n);
    let squares = 0;
    for (let i = 0; i < profile.length; i++) {
      const t = (i - half) * step - centre;
      const g = Math.exp(-0.5 * (t / width) ** 2);
      row[0] = 1;
      row[1] = t;
      row[2] = g;
      row[3] = (t / width) * g;
      if (distance !== null) {
        row[4] = Math.exp(-0.5 * ((t - distance) / lip) ** 2);
        row[5] = Math.exp(-0.5 * ((t + distance) / lip) ** 2);
      }
      for (let a = 0; a < n; a++) {
        right[a] += row[a] * profile[i];
        for (let b = 0; b < n; b++) matrix[n * a + b] += row[a] * row[b];
      }
      squares += profile[i] ** 2;
    }
    const solved = factor(matrix, n, 1e-9);
    if ("undetermined" in solved) return null;
    const x = solved.solve(right);
    if (!(x[2] < 0)) return null;
    const move = Math.max(-0.05, Math.min(0.05, (x[3] / x[2]) * width));
    centre += move;
    if (Math.abs(centre) > 0.25) return null;
    if (Math.abs(move) < 1e-4 || pass === 7) {
      if (distance !== null && !(Math.max(x[4], x[5]) > -LEAST_LIP * x[2] && Math.abs(x[4] - x[5]) > -0.5 * LEAST_LIP * x[2])) return null;
      const left = Math.max(1e-12, squares - x.reduce((s, v, a) => s + v * right[a], 0));
      const variance = left / Math.max(1, profile.length - n);
      return { shift: centre, squares: left, sigma: (width * Math.sqrt(variance * solved.inverse()[n * 3 + 3])) / Math.abs(x[2]) };
    }
  }
  return null;
}
