import { fitAffine } from "../../geometry/fits.ts";
import type { PicturePoint, PrintPoint } from "../../geometry/frames.ts";
import { PRIORS } from "../view/viewModel.ts";

/** Half the squared difference of the largest and the smallest scale of a plane map (a, b, d, e of its six terms), as a share. */
export function unlike([a, b, d, e]: readonly number[]): number {
  return (a * a + b * b + d * d + e * e) / (2 * Math.abs(a * e - b * d)) - 1;
}

/** Scale in all directions is alike to this (see `unlike`) in a flat scan. */
export const SCAN_UNLIKE = 2e-4;
/** Share of pictures that are scans: one in ten at the least, whoever uses it (common practice, no source). */
const SCANS = 0.1;
/** How far marks are printed from their places, mm (common practice, no source): less than a tenth tells no layout from its turned self. */
const PRINTED = 0.1;
/** What an affine map cannot make up for of a view term's effect at half the picture's diagonal: about a quarter. */
const LEFT_OVER = 0.25;

/**
 * Log odds by which a layout is likelier for lying in the picture as in a flat scan: on an affine map of one scale, as nearly as marks are refined and printed. Marks taken for others are bent into
 * their places by perspective and lens, whose terms could be anything within their priors; that they are all nothing happens by chance as seldom as that is smaller than what they could do.
 * Never less than 0, for a photo need not be flat.
 *
 * @param pairs marks and where they were seen; three say nothing.
 * @param refined how near to their view refined marks lie, px.
 * @param half half the picture's diagonal, px.
 */
export function flatEvidence(pairs: readonly { readonly from: PrintPoint; readonly to: PicturePoint }[], refined: number, half: number): number {
  const fit = pairs.length < 4 ? null : fitAffine<"print", "picture">(pairs);
  if (!fit?.ok) return 0;
  const [a, b, , d, e] = fit.parameters;
  if (!(unlike([a, b, d, e]) < SCAN_UNLIKE)) return 0;
  const sigma = Math.hypot(refined, PRINTED * Math.sqrt(Math.abs(a * e - b * d)));
  // Four marks show both terms of the perspective, five the lens too.
  const terms = pairs.length < 5 ? [6, 7] : [6, 7, 8];
  const odds = terms.reduce((sum, term) => sum + Math.log((LEFT_OVER * PRIORS[term] * half) / sigma), Math.log(SCANS));
  return Math.max(0, odds - fit.cost / (2 * sigma * sigma));
}
