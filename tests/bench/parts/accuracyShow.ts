import type { Measured } from "../../../core/check/record.ts";
import type { Scene } from "../../../core/sample/scene.ts";
import { trueStretches } from "../../../core/sample/truth.ts";
import { markErrors, QUANTITIES, score, unitOf } from "./accuracyScore.ts";
import type { TrialResult } from "./accuracyTrial.ts";

/** Everything about one picture that helps to tell which mark, cut or term is wrong. */
export function show(result: TrialResult, scene: Scene): string[] {
  const { record, truth, job, file } = result;
  const about = [`${file}`, `${result.note}; true turn ${truth.view.turn.toFixed(1)}, ${truth.view.pxPerMm.toFixed(2)} px/mm; ${JSON.stringify(scene.imaging)}`,
    `slit ${JSON.stringify(scene.cutting)}`, `light ${JSON.stringify(scene.light)}`, `sensor ${JSON.stringify(scene.sensor)}`, `board ${JSON.stringify(scene.board)}`];
  if (record.status === "failed") return [...about, record.error];
  if (record.status === "refused") return [...about, `refused, ${record.refusal.code}: ${record.refusal.message}`];
  const s = score(result, record);
  return [
    ...about,
    `seen: turn ${record.view.turn.toFixed(1)}, ${record.view.pxPerMm.toFixed(2)} px/mm, tilt ${record.view.tilt.toFixed(1)}, ${record.view.kind}, lens ${JSON.stringify(record.view.lens)}, model ${record.model}`,
    ...s.mismatches, ...s.wrongVerdicts, ...record.warnings.map((w) => `warning: ${w}`),
    ...QUANTITIES.map((q) => `${q}: error ${s.errors[q].error.toFixed(4)}, U ${s.errors[q].U.toFixed(4)} ${unitOf(q)}`),
    `offset (${record.offset.x.toFixed(4)}, ${record.offset.y.toFixed(4)}), true (${truth.offset.x.toFixed(4)}, ${truth.offset.y.toFixed(4)})`,
    `scale (${record.scale.x.toFixed(3)}, ${record.scale.y.toFixed(3)}), true (${truth.scale.x.toFixed(3)}, ${truth.scale.y.toFixed(3)})`,
    `worst ${record.worst.value.toFixed(4)} on ${record.worst.feature} at (${record.worst.x.toFixed(0)}, ${record.worst.y.toFixed(0)}), true ${truth.worst.value.toFixed(4)} on ${truth.worst.feature} at (${truth.worst.x.toFixed(0)}, ${truth.worst.y.toFixed(0)})`,
    `budget: ${record.budget.map((b) => `${b.source} ${b.contribution.toFixed(4)}`).join(", ")}`,
    ...markErrors(truth, record).map(({ id, x, y }) => {
      const mark = job.marks.find((m) => m.id === id);
      return `mark ${id} ${mark?.shape} at (${mark?.x}, ${mark?.y}): off by (${x.toFixed(3)}, ${y.toFixed(3)}) px, residual ${record.marks.find((m) => m.id === id)?.residual?.toFixed(4)} mm`;
    }),
    `marks not found: ${record.marks.filter((m) => !m.found).map((m) => m.id).join(", ") || "none"}`,
    ...featureLines(result, record, scene),
  ];
}

/** By feature: mean, scatter and largest of the stretches' errors (measured less true deviation), mm. */
function featureLines({ overlay }: TrialResult, record: Measured, scene: Scene): string[] {
  const truths = trueStretches(scene);
  return record.features.map((f) => {
    const errors = (overlay?.stretches ?? []).filter((s) => s.feature === f.id).flatMap((s) => {
      const truth = truths.find((t) => t.feature === s.feature && Math.hypot(t.x - s.x, t.y - s.y) < 1);
      return truth ? [{ error: s.value - truth.value, s }] : [];
    });
    if (errors.length === 0) return `feature ${f.id}: coverage ${f.coverage.toFixed(2)}, no stretches`;
    const mean = errors.reduce((sum, e) => sum + e.error, 0) / errors.length;
    const most = errors.reduce((a, b) => (Math.abs(b.error) > Math.abs(a.error) ? b : a));
    const rms = Math.sqrt(errors.reduce((sum, e) => sum + e.error ** 2, 0) / errors.length);
    return `feature ${f.id} (${f.kind}): coverage ${f.coverage.toFixed(2)}, error mean ${mean.toFixed(4)}, rms ${rms.toFixed(4)}, most ${most.error.toFixed(4)} (U ${most.s.U.toFixed(4)}) at (${most.s.x.toFixed(0)}, ${most.s.y.toFixed(0)}) normal (${most.s.nx.toFixed(1)}, ${most.s.ny.toFixed(1)})`;
  });
}
