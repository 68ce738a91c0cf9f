import { describe, expect, it } from "vitest";
import { fitAffine, fitProjective, fitRigid, fitSimilarity } from "../../../core/geometry/fits.ts";
import type { TransformFit } from "../../../core/geometry/fits.ts";
import type { Frame } from "../../../core/geometry/frames.ts";
import { homographyFrom } from "../../../core/geometry/homography.ts";
import type { Pair } from "../../../core/geometry/homography.ts";
import type { NoFit } from "../../../core/geometry/leastSquares.ts";
import { apply } from "../../../core/geometry/transform.ts";
import ghilani from "../../reference/ghilani_ch18.json" with { type: "json" };
import reference from "../../reference/transform_fits.json" with { type: "json" };

type Rows = readonly (readonly number[])[];

function pairsOf(source: Rows, target: Rows): Pair<"cutter", "print">[] {
  return source.map(([x, y], i) => ({ from: { x, y }, to: { x: target[i][0], y: target[i][1] } }));
}

function good<A extends Frame, B extends Frame>(fit: TransformFit<A, B> | NoFit): TransformFit<A, B> {
  if (!fit.ok) throw new Error(fit.reason);
  return fit;
}

const near = (got: number, want: number, relative: number, floor = relative) =>
  expect(Math.abs(got - want)).toBeLessThanOrEqual(relative * Math.abs(want) + floor);

/** Residuals of the reference are fitted - observed, ours observed - fitted. */
function nearResiduals(fit: TransformFit<Frame, Frame>, rows: Rows, tolerance: number): void {
  rows.flat().forEach((v, i) => expect(Math.abs(fit.residuals[i] + v)).toBeLessThan(tolerance));
}

const deviations = (fit: TransformFit<Frame, Frame>) => {
  const n = fit.parameters.length;
  return Array.from({ length: n }, (_, i) => fit.sigma0 * Math.sqrt(fit.cofactor[i * n + i]));
};

// Reference: scipy/numpy double precision fits of our own sets (computed); Hartley-normalised DLT likewise.
interface ReferenceFits {
  rigid: { rotation_deg: number; tx: number; ty: number; residuals_fit_minus_obs: Rows; rms_2d: number; sigma0: number };
  similarity: { a: number; b: number; Tx: number; Ty: number; residuals_fit_minus_obs: Rows; rms_2d: number; sigma0: number; sd_params: number[] };
  affine: { matrix: Rows; residuals_fit_minus_obs: Rows; rms_2d: number; sigma0: number; sd_params_row: number[] };
  projective: { H_geometric: Rows; residuals_fit_minus_obs: Rows; rms_2d: number; sse: number; H_dlt_hartley_normalised: Rows; rms_2d_dlt: number };
}
const outliers = reference.sets.P12_outliers;
const kept = outliers.reference_after_removing_4_and_10.indices;
const sets: [string, Pair<"cutter", "print">[], ReferenceFits][] = [
  ["P4", pairsOf(reference.sets.P4.source, reference.sets.P4.target), reference.sets.P4],
  ["P6", pairsOf(reference.sets.P6.source, reference.sets.P6.target), reference.sets.P6],
  ["P12_clean", pairsOf(reference.sets.P12_clean.source, reference.sets.P12_clean.target), reference.sets.P12_clean],
  ["P12_outliers", pairsOf(outliers.source, outliers.target), outliers],
  ["P12_outliers without 4 and 10", pairsOf(kept.map((i) => outliers.source[i]), kept.map((i) => outliers.target[i])), outliers.reference_after_removing_4_and_10],
];

describe.each(sets)("reference set %s", (_, pairs, want) => {
  it("rigid", () => {
    const fit = good(fitRigid(pairs));
    near((fit.parameters[0] * 180) / Math.PI, want.rigid.rotation_deg, 1e-9);
    near(fit.parameters[1], want.rigid.tx, 1e-9);
    near(fit.parameters[2], want.rigid.ty, 1e-9);
    near(fit.rms, want.rigid.rms_2d, 1e-10);
    near(fit.sigma0, want.rigid.sigma0, 1e-10);
    nearResiduals(fit, want.rigid.residuals_fit_minus_obs, 1e-8);
  });
  it("similarity", () => {
    const fit = good(fitSimilarity(pairs));
    const { a, b, Tx, Ty } = want.similarity;
    [a, b, Tx, Ty].forEach((v, i) => near(fit.parameters[i], v, 1e-10));
    near(fit.rms, want.similarity.rms_2d, 1e-10);
    deviations(fit).forEach((v, i) => near(v, want.similarity.sd_params[i], 1e-9));
    nearResiduals(fit, want.similarity.residuals_fit_minus_obs, 1e-9);
  });
  it("affine", () => {
    const fit = good(fitAffine(pairs));
    want.affine.matrix.flat().forEach((v, i) => near(fit.parameters[i], v, 1e-10));
    near(fit.rms, want.affine.rms_2d, 1e-10);
    near(fit.sigma0, want.affine.sigma0, 1e-10);
    deviations(fit).slice(0, 3).forEach((v, i) => near(v, want.affine.sd_params_row[i], 1e-9));
    nearResiduals(fit, want.affine.residuals_fit_minus_obs, 1e-9);
  });
  it("projective, geometric minimum", () => {
    const fit = good(fitProjective(pairs));
    // The reference stopped at its optimiser's tolerance: ours must be as low or lower, and next to it.
    want.projective.H_geometric.flat().forEach((v, i) => near(fit.transform.m[i], v, 5e-5, 1e-11));
    if (want.projective.sse > 1e-20) expect(fit.cost).toBeLessThan(want.projective.sse * (1 + 1e-11));
    near(fit.rms, want.projective.rms_2d, 1e-10);
    nearResiduals(fit, want.projective.residuals_fit_minus_obs, 1e-5);
  });
  it("projective, normalised linear start", () => {
    const start = homographyFrom(pairs);
    want.projective.H_dlt_hartley_normalised.flat().forEach((v, i) => near(start?.m[i] ?? NaN, v, 1e-6, 1e-12));
  });
});

describe("Ghilani, Adjustment Computations, ch. 18 (data second-hand, page not seen)", () => {
  it("conformal: printed a, b, Tx, Ty and transformed points", () => {
    const set = ghilani.conformal_18_2;
    const fit = good(fitSimilarity(pairsOf(set.xy_source, set.XY_target)));
    const { a, b, Tx, Ty } = set.printed;
    [a, b].forEach((v, i) => expect(fit.parameters[i].toFixed(5)).toBe(v));
    [Tx, Ty].forEach((v, i) => expect(fit.parameters[2 + i].toFixed(3)).toBe(v));
    near(fit.sigma0, set.computed.sigma0, 1e-9);
    set.unknown_xy.forEach(([x, y], i) => {
      const p = apply(fit.transform, x, y);
      expect([p.x.toFixed(3), p.y.toFixed(3)]).toEqual(set.printed.transformed[i]);
    });
  });
  it("affine: the weights of each coordinate count (results from memory)", () => {
    const set = ghilani.affine_18_5_weighted;
    const plain = pairsOf(set.xy_source, set.XY_target);
    const weighted = plain.map((p, i) => ({ ...p, weight: { x: set.sd_target_XY[i][0] ** -2, y: set.sd_target_XY[i][1] ** -2 } }));
    const fit = good(fitAffine(weighted));
    const printed = Object.values(set.printed_from_memory);
    fit.parameters.forEach((v, i) => expect(v.toFixed(i % 3 === 2 ? 3 : 5)).toBe(printed[i]));
    near(fit.sigma0, set.computed_weighted.sigma0, 1e-9);
    deviations(fit).forEach((v, i) => near(v, set.computed_weighted.sd[i], 1e-8));
    // Negative control: without weights the printed values are missed.
    expect(Math.abs(good(fitAffine(plain)).parameters[0] - 25.37152)).toBeGreaterThan(1e-3);
  });
  it("projective: the geometric error is what is minimised (results from memory)", () => {
    const set = ghilani.projective_18_6;
    const pairs = pairsOf(set.xy_source, set.XY_target);
    const fit = good(fitProjective(pairs));
    const printed = Object.values(set.printed_from_memory);
    fit.parameters.forEach((v, i) => expect(v.toFixed(i === 2 || i === 5 ? 3 : 5)).toBe(printed[i]));
    near(fit.cost, set.computed_geometric_equal_weights.sse, 1e-9);
    set.computed_algebraic_h33_1.slice(0, 3).forEach((v, i) => expect(Math.abs(fit.parameters[i] - v)).toBeGreaterThan(2e-3 * (i + 1) ** -3));
    const start = homographyFrom(pairs);
    set.computed_geometric_equal_weights.H_dlt_hartley_normalised.flat().forEach((v, i) => near(start?.m[i] ?? NaN, v, 1e-8));
  });
});
