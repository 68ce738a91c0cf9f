import type { Row } from "../../../core/sample/scenarios.ts";
import { GOALS, QUANTITIES, quantile, score, unitOf, type Scored } from "./accuracyScore.ts";
import type { TrialResult } from "./accuracyTrial.ts";

const nameOf = ({ task, note }: TrialResult): string => `${task.row}:${task.index} (seed ${task.seed}, ${note})`;

/** The figures of a row of pictures that can be measured, and a line for each picture that is not as it should be. */
export function reportRow(row: Exclude<Row, "refusal">, results: readonly TrialResult[]): string[] {
  const goal = GOALS[row];
  const scored: Scored[] = [];
  const codes = new Map<string, number>();
  const outliers: string[] = [];
  for (const result of results) {
    const { record } = result;
    if (record.status !== "measured") {
      const [what, why] = record.status === "failed" ? ["failed", record.error] : [record.refusal.code, record.refusal.message];
      codes.set(what, (codes.get(what) ?? 0) + 1);
      outliers.push(`${nameOf(result)}: ${what}: ${why}`);
      continue;
    }
    const s = score(result, record);
    scored.push(s);
    const far = QUANTITIES.filter((q) => s.errors[q].error > goal.p95[q] || s.errors[q].error > s.errors[q].U)
      .map((q) => `${q} ${s.errors[q].error.toFixed(4)} (U ${s.errors[q].U.toFixed(4)})${s.errors[q].error > s.errors[q].U ? " beyond U" : ""}`);
    const why = [...s.mismatches.map((m) => `MISMATCH ${m}`), ...s.wrongVerdicts.map((v) => `WRONG VERDICT ${v}`), ...far];
    if (why.length > 0) outliers.push(`${nameOf(result)}: ${why.join("; ")}`);
  }
  const refused = [...codes].map(([code, n]) => `${n} ${code}`).join(", ");
  const times = results.map((r) => r.ms);
  return [
    `${row}: ${results.length} pictures, ${scored.length} measured${refused ? ` (not: ${refused}; at most ${100 * goal.refused} %)` : ""}; wrong matches ${scored.filter((s) => s.mismatches.length > 0).length}, `
      + `wrong verdicts ${scored.filter((s) => s.wrongVerdicts.length > 0).length}; check median ${quantile(times, 0.5).toFixed(0)}, most ${Math.max(...times).toFixed(0)} ms of processor time`,
    "            p50      p95      most     goal p95   within U   median U",
    ...QUANTITIES.map((q) => {
      const errors = scored.map((s) => s.errors[q].error);
      const within = scored.filter((s) => s.errors[q].error <= s.errors[q].U).length;
      return `  ${q.padEnd(9)} ${[0.5, 0.95, 1].map((p) => quantile(errors, p).toFixed(4)).join("   ")}   ${goal.p95[q].toFixed(3)}      ${((100 * within) / scored.length).toFixed(1).padStart(5)} %    `
        + `${quantile(scored.map((s) => s.errors[q].U), 0.5).toFixed(4)} ${unitOf(q)}`;
    }),
    ...outliers.map((line) => `  ! ${line}`),
  ];
}

/** What became of the pictures that must be refused. */
export function reportRefusals(results: readonly TrialResult[]): string[] {
  const gotOf = ({ record }: TrialResult): string => (record.status === "refused" ? record.refusal.code : record.status === "failed" ? `failed: ${record.error}` : `MEASURED, ${record.verdict}`);
  const fits = (r: TrialResult): boolean => r.record.status === "refused" && !!r.refusal?.includes(r.record.refusal.code);
  const measured = results.filter((r) => r.record.status === "measured").length;
  return [
    `refusal: ${results.length} pictures, ${results.filter(fits).length} refused with a fitting code, ${measured} measured`,
    ...results.map((r) => `  ${fits(r) ? " " : "!"} ${nameOf(r)}: ${gotOf(r)}${fits(r) ? "" : `, wanted ${r.refusal?.join(" or ")}`}`),
  ];
}
