/** Factors on offer: 1, 2, 5, 10, ... */
export const FACTORS: readonly number[] = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000];

/** The factor at which a deviation as large as the tolerance is about `pixels` long on the screen. */
export function fittingFactor(tolerance: number, pxPerMm: number, scale: number, pixels = 34): number {
  const wanted = pixels / Math.max(1e-9, tolerance * pxPerMm * scale);
  return FACTORS.findLast((factor) => factor <= wanted) ?? FACTORS[0];
}

/** A round length for the scale bar: the largest of 1, 2, 5 x 10^n mm whose drawn length is at most `pixels`. */
export function barLength(pxPerMm: number, scale: number, factor: number, pixels = 80): number {
  const most = pixels / Math.max(1e-9, pxPerMm * scale * factor);
  const power = 10 ** Math.floor(Math.log10(most));
  const lead = most / power;
  return (lead >= 5 ? 5 : lead >= 2 ? 2 : 1) * power;
}
