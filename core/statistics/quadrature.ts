/**
 * Integral of a bounded, piecewise smooth function by adaptive Simpson with Richardson's correction.
 *
 * `panels` equal parts are refined each for itself until the two finest estimates agree within its share of `tolerance`
 * (absolute), or after `depth` halvings.
 */
export function integrate(
  f: (x: number) => number,
  from: number,
  to: number,
  { panels = 32, tolerance = 1e-12, depth = 40 }: { panels?: number; tolerance?: number; depth?: number } = {},
): number {
  if (!(to > from)) return 0;
  const refine = (a: number, fa: number, m: number, fm: number, b: number, fb: number, whole: number, tol: number, left: number): number => {
    const lm = 0.5 * (a + m);
    const rm = 0.5 * (m + b);
    const flm = f(lm);
    const frm = f(rm);
    const leftPart = ((m - a) / 6) * (fa + 4 * flm + fm);
    const rightPart = ((b - m) / 6) * (fm + 4 * frm + fb);
    const error = leftPart + rightPart - whole;
    if (left <= 0 || Math.abs(error) <= 15 * tol) return leftPart + rightPart + error / 15;
    return (
      refine(a, fa, lm, flm, m, fm, leftPart, tol / 2, left - 1) + refine(m, fm, rm, frm, b, fb, rightPart, tol / 2, left - 1)
    );
  };
  let sum = 0;
  const step = (to - from) / panels;
  for (let i = 0; i < panels; i++) {
    const a = from + i * step;
    const b = i === panels - 1 ? to : a + step;
    const m = 0.5 * (a + b);
    const [fa, fm, fb] = [f(a), f(m), f(b)];
    sum += refine(a, fa, m, fm, b, fb, ((b - a) / 6) * (fa + 4 * fm + fb), tolerance / panels, depth);
  }
  return sum;
}
