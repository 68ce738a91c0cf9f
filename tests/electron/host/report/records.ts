import type { Measured, Verdict } from "../../../../core/check/record.ts";

/** An invented record with figures that no rounding hides; `step` moves them. */
export function recordOf(step: number, verdict: Verdict = "in"): Measured {
  const position = 0.28449 + 0.0137 * step;
  return {
    format: "kerfmark.check/1", image: `sheet-${step}.jpg`, job: "TRAY-1", sheet: String(step), status: "measured", verdict,
    view: { turn: 92.3, mirrored: false, pxPerMm: 3.41, tilt: 14.2, kind: "projective", lens: { source: "self", k1: -0.041 } }, model: "affine",
    offset: { x: 0.11251 + 0.0071 * step, y: -0.04149, length: 0.11992 + 0.0067 * step, U: 0.02149 },
    rotation: { value: -0.314159, U: 0.05451 }, skew: { value: 0.0249, U: 0.0612 }, scale: { x: -0.1249, y: 0.0851, U: 0.0549 },
    worst: { value: position, U: 0.03049, feature: "blank", x: 240, y: 160 },
    features: [
      { id: "blank", kind: "cut", mean: 0.01049, max: position, rms: 0.11049, U: 0.03049, coverage: 0.97 },
      { id: "=fold", kind: "crease", mean: -0.0215, max: -0.0981, rms: 0.0333, U: 0.0402, coverage: 0.81 },
    ],
    marks: [{ id: "M1", found: true, x: 812.42, y: 2210.07, residual: 0.012 }],
    judged: [{ what: "position", value: position, U: 0.03049, limit: 0.5, verdict, conformity: 0.99991 }],
    correction: { frame: "cutter", x: 0.11251, y: 0.04149, rotation: 0.314159, scaleX: 0.1249, scaleY: -0.0851 },
    budget: [], warnings: step === 3 ? ["=cmd|' /C calc'!A0 was found in half of its length only."] : [],
  };
}
