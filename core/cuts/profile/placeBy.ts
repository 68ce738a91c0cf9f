import { fitAround, type FitAround } from "./fitAround.ts";
import { MOST_SHIFT, type Profile, type ProfileModel, type ProfilePlace } from "./profileModel.ts";

/** How near to the profile's middle the feature usually lies, mm (standard deviation; common practice, no source). */
const USUAL_SHIFT = 0.15;
/** The place is settled when it moves by less than this, mm; it moves by no more than FARTHEST_STEP at a time. */
const SETTLED = 1e-3;
const FARTHEST_STEP = 0.1;
const MOST_PASSES = 4;
/** A model is so much less likely (logarithm) where its columns are no longer nearly what their derivatives said; by less it may be, since a fit about another place takes more for possible. */
const WORSE = 6;

/**
 * The place of a feature by the posterior of Gaussian linear models, summed over the models by their evidence (MacKay 2003, ch. 28). What the picture resolves beside the feature is
 * fitted; what blur hides stays in the uncertainty, as wide as the priors make it. Null where no model shows a feature.
 *
 * @param profiles in units in which the priors are stated, all with the feature at the same place.
 * @param faintest height below which there is none.
 * @param unusual models that are asked only where no usual one fits.
 */
export function placeBy(models: readonly ProfileModel[], profiles: readonly Profile[], step: number, faintest: number, unusual: () => readonly ProfileModel[] = () => []): ProfilePlace | null {
  const settleAll = (some: readonly ProfileModel[], seen = profiles): Settled[] => withoutAstray(some.map((model) => settle(model, seen, step, faintest)).filter((fit) => fit !== null));
  const usual = settleAll(models);
  const asked = usual.some((f) => f.excess < ACCEPTABLE) ? models : [...models, ...unusual()];
  const fits = asked === models ? usual : [...usual, ...settleAll(asked.slice(models.length))];
  // What no model shows (a print's edge beside the cut) is more noise: what the priors say counts for more then.
  const excess = Math.min(...fits.map((f) => f.excess));
  const told = fits.length > 0 && excess > ACCEPTABLE ? settleAll(asked, profiles.map((p) => ({ ...p, noise: p.noise * Math.sqrt(excess) }))) : fits;
  if (told.length === 0) return null;
  const best = told.reduce((a, b) => (b.evidence > a.evidence ? b : a));
  const most = best.evidence;
  let weights = 0;
  let mean = 0;
  let square = 0;
  for (const f of told) {
    const w = Math.exp(f.evidence - most);
    weights += w;
    mean += w * f.centre;
    square += w * (f.centre ** 2 + f.sigma ** 2);
  }
  mean /= weights;
  return { shift: mean, sigma: Math.sqrt(Math.max(0, square / weights - mean * mean)), excess, rest: best.rest };
}

/** A sum of squares over its expectation up to which a model fits. */
export const ACCEPTABLE = 1.3;

interface Settled extends Omit<FitAround, "shift"> {
  /** Where it lies, mm from the profiles' middle. */
  readonly centre: number;
  /** Whether it would have to lie far from there. */
  readonly astray: boolean;
}

/** Those that have settled, where there are any. */
function withoutAstray(fits: Settled[]): Settled[] {
  return fits.every((fit) => fit.astray) ? fits : fits.filter((fit) => !fit.astray);
}

/**
 * Gauss-Newton steps from the profiles' middle, and from a width that is tried. A step after which the model is less likely by more than WORSE went too far, since a line so changed is not what its derivatives say: half of
 * it is tried.
 */
function settle(given: ProfileModel, profiles: readonly Profile[], step: number, faintest: number): Settled | null {
  let [model, centre, share] = [given, 0, 1];
  let fit = fitAround(model, profiles, step, centre, faintest, profiles.map(() => 1));
  for (let pass = 0; fit; pass++) {
    const move: number = Math.max(-FARTHEST_STEP, Math.min(FARTHEST_STEP, share * fit.shift));
    const next: ProfileModel = model.broadened?.(share * fit.broader, fit.highest) ?? model;
    const place: number = centre + move;
    const settled = Math.abs(fit.shift) < SETTLED && next === model;
    if (Math.abs(place) > MOST_SHIFT) return null;
    if (settled || pass === MOST_PASSES) return { ...fit, centre: place, astray: Math.abs(fit.shift) > FARTHEST_STEP, evidence: fit.evidence - unlikely(place) };
    const again: FitAround | null = fitAround(next, profiles, step, place, faintest, fit.heights);
    if (!again || again.evidence - unlikely(place) < fit.evidence - unlikely(centre) - WORSE) {
      share /= 2;
      continue;
    }
    [model, centre, share, fit] = [next, place, 1, again];
  }
  return null;
}

/** What a place takes off a model's evidence. */
function unlikely(place: number): number {
  return 0.5 * (place / USUAL_SHIFT) ** 2;
}
