import { factor } from "../../geometry/normalEquations.ts";
import type { LipBias } from "./lip.ts";

/** How far lips draw the lines alike all round a piece, and to the light, mm (standard deviations), each as likely as the next: as in pictures drawn by others, with strong shades, and in hard light on blurred slits. */
const USUAL = [0.015, 0.03, 0.06];
/** By how much a direction may differ from what light and side of the piece make of it, mm: each as likely as the next. */
const OWN = [0.002, 0.004, 0.008, 0.016, 0.032, 0.064];
const TERMS = 3;

/**
 * The biases of all directions as they are known together, of lips or of the shades at the feet of edges. A lip on the inside of a piece draws all its edges alike along their normals, one that faces the light goes by the cosine of the angle to
 * it; a blade that runs one way on one side leaves each direction something of its own. How much that is the directions tell themselves: b = c + a cos + b sin + N(0, tau^2), summed over tau, and over how far lips draw at all, by
 * its evidence (Gelman et al., Bayesian Data Analysis, ch. 5; from memory). What is badly seen, or not at all, is taken from the others.
 *
 * @param lips by direction, evenly round the circle; null where nothing is told.
 */
export function lipsTogether(lips: readonly (LipBias | null)[]): LipBias[] {
  const rows = lips.map((_, k) => {
    const angle = (2 * Math.PI * k) / lips.length;
    return [1, Math.cos(angle), Math.sin(angle)];
  });
  const parts = USUAL.flatMap((usual) => OWN.map((own) => given(own, lips, rows.map((row) => row.map((v) => usual * v)))));
  const most = Math.max(...parts.map((p) => p.evidence));
  const weights = parts.map((p) => Math.exp(p.evidence - most));
  const total = weights.reduce((s, w) => s + w, 0);
  return lips.map((lip, k) => {
    const mean = parts.reduce((s, p, i) => s + weights[i] * p.biases[k].mean, 0) / total;
    const variance = parts.reduce((s, p, i) => s + weights[i] * (p.biases[k].variance + (p.biases[k].mean - mean) ** 2), 0) / total;
    const moved = mean - (lip?.shift ?? 0);
    return { shift: mean, sigma: Math.sqrt(variance), ...(lip?.tones ? { tones: lip.tones.map((t) => ({ ...t, shift: t.shift + moved })) } : {}) };
  });
}

interface Known {
  readonly evidence: number;
  readonly biases: readonly { readonly mean: number; readonly variance: number }[];
}

/** The posterior where each direction differs by `own` mm (standard deviation). */
function given(own: number, lips: readonly (LipBias | null)[], rows: readonly number[][]): Known {
  const matrix = new Float64Array(TERMS * TERMS);
  const right = new Float64Array(TERMS);
  let evidence = 0;
  for (let i = 0; i < TERMS; i++) matrix[(TERMS + 1) * i] = 1;
  lips.forEach((lip, k) => {
    if (!lip) return;
    const variance = lip.sigma ** 2 + own ** 2;
    for (let i = 0; i < TERMS; i++) {
      right[i] += (rows[k][i] * lip.shift) / variance;
      for (let j = 0; j < TERMS; j++) matrix[TERMS * i + j] += (rows[k][i] * rows[k][j]) / variance;
    }
    evidence -= 0.5 * (Math.log(variance) + lip.shift ** 2 / variance);
  });
  const solved = factor(matrix, TERMS);
  if ("undetermined" in solved) return { evidence: -Infinity, biases: rows.map((row) => ({ mean: 0, variance: row[0] ** 2 })) };
  const terms = solved.solve(right);
  evidence += 0.5 * (terms.reduce((s, v, i) => s + v * right[i], 0) - solved.logDeterminant);
  const biases = lips.map((lip, k) => {
    const row = Float64Array.from(rows[k]);
    const common = row.reduce((s, v, i) => s + v * terms[i], 0);
    const doubt = solved.solve(row).reduce((s, v, i) => s + v * row[i], 0);
    if (!lip) return { mean: common, variance: own ** 2 + doubt };
    const share = own ** 2 / (own ** 2 + lip.sigma ** 2);
    return { mean: common + share * (lip.shift - common), variance: share * lip.sigma ** 2 + (1 - share) ** 2 * doubt };
  });
  return { evidence, biases };
}
