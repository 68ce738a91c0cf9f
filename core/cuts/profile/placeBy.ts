import { fitAround, type FitAround } from "./fitAround.ts";
import { MOST_SHIFT, type Profile, type ProfileModel, type ProfilePlace } from "./profileModel.ts";

/** How near to the profile's middle the feature usually lies, mm (standard deviation; common practice, no source). */
const USUAL_SHIFT = 0.15;
/** The place is settled when it moves by less than this, mm; it moves by no more than FARTHEST_STEP at a time. */
const SETTLED = 1e-3;
const FARTHEST_STEP = 0.1;
const MOST_PASSES = 3;

/**
 * The place of a feature by the posterior of Gaussian linear models, summed over the models by their evidence (MacKay 2003, ch. 28). What the picture resolves beside the feature is
 * fitted; what blur hides stays in the uncertainty, as wide as the priors make it. Null where no model shows a feature.
 *
 * @param profiles in units in which the priors are stated, all with the feature at the same place.
 * @param faintest height below which there is none.
 * @param unusual models that are asked only where no usual one fits.
 */
export function placeBy(models: readonly ProfileModel[], profiles: readonly Profile[], step: number, faintest: number, unusual: () => readonly ProfileModel[] = () => []): ProfilePlace | null {
  const settleAll = (starts: readonly Start[], seen = profiles): Settled[] => starts.map((start) => settle(start, seen, step, faintest)).filter((fit) => fit !== null);
  const first = (model: ProfileModel): Start => ({ model, centre: 0, heights: profiles.map(() => 1) });
  const usual = settleAll(models.map(first));
  const fits = usual.some((f) => f.excess < ACCEPTABLE) ? usual : [...usual, ...settleAll(unusual().map(first))];
  // What no model shows (a print's edge beside the cut) is more noise: what the priors say counts for more then.
  const excess = Math.min(...fits.map((f) => f.excess));
  const told = fits.length > 0 && excess > ACCEPTABLE ? settleAll(fits, profiles.map((p) => ({ ...p, noise: p.noise * Math.sqrt(excess) }))) : fits;
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

/** Where a fit begins: a model about a place, mm, with the heights of the feature in the profiles, as shares of the highest. */
interface Start {
  readonly model: ProfileModel;
  readonly centre: number;
  readonly heights: readonly number[];
}

interface Settled extends Omit<FitAround, "shift">, Start {}

function settle({ model, centre, heights }: Start, profiles: readonly Profile[], step: number, faintest: number): Settled | null {
  for (let pass = 0; ; pass++) {
    const fit = fitAround(model, profiles, step, centre, faintest, heights);
    if (!fit) return null;
    heights = fit.heights;
    const next = model.broadened?.(fit.broader, fit.highest) ?? model;
    centre += Math.max(-FARTHEST_STEP, Math.min(FARTHEST_STEP, fit.shift));
    if (Math.abs(centre) > MOST_SHIFT || (pass === MOST_PASSES && Math.abs(fit.shift) > FARTHEST_STEP)) return null;
    if ((Math.abs(fit.shift) < SETTLED && next === model) || pass === MOST_PASSES) return { ...fit, model, centre, evidence: fit.evidence - 0.5 * (centre / USUAL_SHIFT) ** 2 };
    model = next;
  }
}
