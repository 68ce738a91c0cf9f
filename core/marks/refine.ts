import type { Covariance2, PicturePoint } from "../geometry/frames.ts";
import type { Sampler } from "../image/sampler.ts";
import type { Mark } from "../job/schema.ts";
import { COVERAGE_TERMS, coverageOf, otherQuarters, type Coverage } from "./coverage.ts";
import { evenInk, SQUARE } from "./evenInk.ts";
import { localMap, type LocalMap, type PlaneMap } from "./localMap.ts";
import { collectPixels, type Margin } from "./markPixels.ts";
import { blurOf, fitShape, glareOf, SHAPE_TERMS, startOf, type Pixels, type ShapeFit } from "./shapeFit.ts";
import { reach } from "./shapes.ts";

/** A mark's centre to sub-pixel, with what the fit says of the print and the picture. */
export interface RefinedMark {
  readonly ok: true;
  /** Centre: picture pixels. */
  readonly at: PicturePoint;
  /** Covariance of the centre, px^2, scaled by the fit's own residuals. */
  readonly covariance: Covariance2<"picture">;
  /** By how much the ink's outline lies outside the nominal one, mm (dot gain). */
  readonly gain: number;
  /** Blur of the edges: sigma, px. */
  readonly blur: number;
  /** Ink minus board, linear light 0..1 (negative for a dark mark). */
  readonly contrast: number;
  /** Residual scatter, linear light. */
  readonly noise: number;
}

export interface MarkNotRefined {
  readonly ok: false;
  readonly reason: string;
}

/** Share of the variance that the shape must explain: noise of a fifth of the contrast, or a texture as strong, is let through. */
const LEAST_EXPLAINED = 0.8;
/** The same of the start, which counts specks and print beside the mark in full. */
const LEAST_EXPLAINED_AT_FIRST = 0.4;
/**
 * Light falls on ink and board alike, so the slope of the contrast is that of the board times contrast over board, but for glare, which adds to both. By how much it may
 * differ across the window, as a share of the contrast (standard deviation; common practice, no source): usually, and where the pixels show that it differs by more than
 * CONTRADICTED times that. Those of a small, blurred mark cannot tell a slope from a shift.
 */
const GLARE = 0.002;
const MUCH_GLARE = 0.05;
const CONTRADICTED = 3;
/**
 * Relative gains of the sum of squares at which the start and the end of the fit stop. The last step is taken still: at a gain of 1e-5, which in some thousand pixels is
 * a fifth of a standard deviation, what that step leaves is of the second order in it.
 */
const COARSE = 1e-2;
const FINE = 1e-5;

/**
 * Least squares of a mark's blurred shape on the window's linear grey values. The shape is that of the print plane,
 * carried into the picture by `map`, so the centre found is the image of the mark's centre, not the centre of its ellipse. Dot
 * gain, blur and the light's slope inside and outside the ink are free, so none of them moves the centre.
 *
 * @param map where print points are expected; a few pixels off is near enough.
 * @param start the expected centre, picture pixels.
 */
export function refineMark(sampler: Sampler, mark: Mark, map: PlaneMap, start: PicturePoint): RefinedMark | MarkNotRefined {
  const local = localMap(map, start, reach(mark));
  if (!local) return { ok: false, reason: "lies outside the picture" };
  const ample = refineWithin("ample", sampler, mark, local);
  // A patch that is no mark is not looked at so closely: of little enough, anything explains most.
  if (!ample.ok || ample.noise < WELL * Math.abs(ample.contrast)) return ample;
  const close = refineWithin("close", sampler, mark, local);
  return close.ok && close.noise < CLOSER * ample.noise ? close : ample;
}

/** What the shape leaves over of the contrast is noise up to this share; with more, something else may lie near, the edge of the print that is left out for the mark, say. */
const WELL = 0.06;
/** Without it the shape leaves less than so much of that over. */
const CLOSER = 0.6;

function refineWithin(margin: Margin, sampler: Sampler, mark: Mark, local: LocalMap): RefinedMark | MarkNotRefined {
  const coarse = collectPixels(sampler, mark, local, margin, null);
  if (coarse.count < 3 * SHAPE_TERMS) return { ok: false, reason: "lies too near the picture's edge or is too small" };
  const printed = refineAs(margin, sampler, mark, local, coarse, coverageOf(mark, local.blur));
  if (printed.ok || mark.shape !== "checker" || mark.tone === "dark") return printed;
  // A checker's dark quarters are the upper right and the lower left one: on dark board those are the board's, and light ink has the other two.
  const light = refineAs(margin, sampler, mark, local, coarse, otherQuarters(mark, local.blur));
  return light.ok && light.contrast > 0 ? light : printed;
}

function refineAs(margin: Margin, sampler: Sampler, mark: Mark, local: LocalMap, coarse: Pixels, coverage: Coverage): RefinedMark | MarkNotRefined {
  const first = fitShape(coarse, coverage, startOf(coarse, coverage, local), null, COARSE);
  if (!first || first.explained < LEAST_EXPLAINED_AT_FIRST) return { ok: false, reason: "no such shape there" };
  const wide = blurOf(first.parameters[3]) > 1.2;
  let pixels = coarse.all && !wide ? coarse : collectPixels(sampler, mark, local, margin, { coverage, parameters: first.parameters, wholeInk: false });
  let tied = fitShape(pixels, coverage, first.parameters, { noise: first.noise, glare: GLARE }, FINE);
  if (tied && !pixels.all && isEven(sampler, mark, local, coverage, tied.parameters)) {
    pixels = collectPixels(sampler, mark, local, margin, { coverage, parameters: tied.parameters, wholeInk: true });
    tied = fitShape(pixels, coverage, tied.parameters, { noise: tied.noise, glare: GLARE }, FINE);
  }
  const last = tied && glareOf(tied.parameters) > CONTRADICTED * GLARE ? fitShape(pixels, coverage, tied.parameters, { noise: tied.noise, glare: MUCH_GLARE }, FINE) : tied;
  if (!last) return { ok: false, reason: "no such shape there" };
  return conclude(mark, local, last);
}

/** Coverage from which a pixel lies wholly in the ink. */
const IN_INK = 0.999;

/** Whether the pixels of a mark's ink say as much as so many independent ones (see evenInk.ts), under a fit's parameters. */
function isEven(sampler: Sampler, mark: Mark, local: LocalMap, coverage: Coverage, p: Float64Array): boolean {
  const inner = reach(mark) * local.scale;
  const uv = new Float64Array(2);
  const [u, v] = [new Float64Array(SQUARE * SQUARE), new Float64Array(SQUARE * SQUARE)];
  const covered = new Float64Array(COVERAGE_TERMS * SQUARE * SQUARE);
  const window = {
    x0: Math.max(0, Math.ceil(local.at.x - inner)), x1: Math.min(sampler.width - 1, Math.floor(local.at.x + inner)),
    y0: Math.max(0, Math.ceil(local.at.y - inner)), y1: Math.min(sampler.height - 1, Math.floor(local.at.y + inner)),
  };
  return evenInk(sampler, window, (x0, y0) => {
    for (let k = 0; k < SQUARE * SQUARE; k++) {
      local.toPrint(x0 + (k % SQUARE) - local.at.x, y0 + Math.floor(k / SQUARE) - local.at.y, uv);
      u[k] = uv[0] - p[0];
      v[k] = uv[1] - p[1];
    }
    coverage.at(u, v, p[2], blurOf(p[3]), covered);
    for (let k = 0; k < covered.length; k += COVERAGE_TERMS) if (!(covered[k] > IN_INK)) return false;
    return true;
  });
}

function conclude(mark: Mark, local: LocalMap, last: ShapeFit): RefinedMark | MarkNotRefined {
  const p = last.parameters;
  const blur = blurOf(p[3]);
  const extent = reach(mark);
  if (!(last.explained > LEAST_EXPLAINED)) return { ok: false, reason: "what is there does not have the mark's shape" };
  if (Math.hypot(p[0], p[1]) > Math.max(0.7 * extent, 5 / local.scale)) return { ok: false, reason: "lies too far from where it should" };
  if (Math.abs(p[2]) > 0.3 * thinnest(mark) + 1.5 / local.scale) return { ok: false, reason: "has another size" };
  if ((p[4] > 0 ? "light" : "dark") !== (mark.tone ?? (p[4] > 0 ? "light" : "dark"))) return { ok: false, reason: "has the wrong tone" };
  if (blur > 0.6 * extent * local.scale) return { ok: false, reason: "is too blurred" };
  const at = local.toPicture(p[0], p[1]);
  const [a, b, c, d] = local.derivative;
  const n = SHAPE_TERMS;
  const [xx, xy, yy] = [last.covariance[0], last.covariance[1], last.covariance[n + 1]];
  return {
    ok: true, at, gain: p[2], blur, contrast: p[4], noise: last.noise,
    covariance: {
      xx: a * a * xx + 2 * a * b * xy + b * b * yy,
      xy: a * c * xx + (a * d + b * c) * xy + b * d * yy,
      yy: c * c * xx + 2 * c * d * xy + d * d * yy,
    },
  };
}

function thinnest(mark: Mark): number {
  switch (mark.shape) {
    case "ring":
      return (mark.outer - mark.inner) / 2;
    case "cross":
      return mark.stroke;
    case "square":
      return mark.size / 2;
    default:
      return mark.diameter / 2;
  }
}

