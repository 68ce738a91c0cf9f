/**
 * The standard normal integral and density from a table, for per-pixel work: a straight edge blurred by a Gaussian is this integral.
 * Linear interpolation in steps of 1/512 keeps the error below 2e-7, far below a grey level.
 */
const STEPS = 512;
const REACH = 6;
const exact = (z: number): number => 0.3989422804014327 * Math.exp(-0.5 * z * z);
const densities = Float64Array.from({ length: REACH * STEPS + 2 }, (_, i) => exact(i / STEPS));
const integrals = buildIntegrals();

function buildIntegrals(): Float64Array {
  // Composite Simpson from the centre outwards: exact to about 1e-13 at this step.
  const t = new Float64Array(REACH * STEPS + 2);
  const h = 1 / STEPS;
  t[0] = 0.5;
  for (let i = 1; i < t.length; i++) {
    const a = (i - 1) * h;
    t[i] = t[i - 1] + (h / 6) * (exact(a) + 4 * exact(a + h / 2) + exact(a + h));
  }
  return t;
}

function lookUp(table: Float64Array, a: number): number {
  const s = a * STEPS;
  const i = s | 0;
  return table[i] + (s - i) * (table[i + 1] - table[i]);
}

/** Standard normal density; 0 beyond six sigma, where it is below 1e-8. */
export function density(z: number): number {
  const a = Math.abs(z);
  return a < REACH ? lookUp(densities, a) : 0;
}

/** Standard normal integral from minus infinity to z. */
export function integral(z: number): number {
  const a = Math.abs(z);
  if (!(a < REACH)) return z > 0 ? 1 : 0;
  const v = lookUp(integrals, a);
  return z >= 0 ? v : 1 - v;
}
