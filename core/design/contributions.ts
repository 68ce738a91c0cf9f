import type { Job, Mark } from "../job/schema.ts";
import { informationOf } from "./information.ts";
import { cellsOf, worstOf, type UncertaintyMap } from "./predict.ts";
import { prepare } from "./prepare.ts";
import type { Setup } from "./setup.ts";
import type { NoView } from "./viewpoint.ts";

/** What one mark brings to the worst U of the sheet, mm. */
export interface Contribution {
  readonly id: string;
  /** Worst U without this mark; null where the others alone do not fix the view. */
  readonly without: number | null;
}

const NO_VIEW: NoView = { ok: false, reason: "The job's marks do not fix how the sheet is seen.", hint: "Give it at least four marks that are not in one line, or have them proposed." };

/** Worst U with all of the job's marks, and without each in turn: which of them matter. */
export function contributionsOf(job: Job, setup: Setup): { readonly ok: true; readonly now: number; readonly marks: readonly Contribution[] } | NoView {
  const prepared = prepare(job, setup);
  if (!prepared.ok) return prepared;
  const now = worstOf(prepared, prepared.marks);
  if (!now) return NO_VIEW;
  const marks = prepared.marks.map((mark) => ({ id: job.marks[mark.mark].id, without: worstOf(prepared, prepared.marks.filter((m) => m !== mark))?.U ?? null }));
  return { ok: true, now: now.U, marks };
}

/** Worst U of the sheet with one more mark of this kind in the middle of each cell, mm: where it would bring most. `now`: without it. */
export function gainMap(job: Job, setup: Setup, mark: Mark): ({ readonly ok: true; readonly now: number } & UncertaintyMap) | NoView {
  const prepared = prepare(job, setup);
  if (!prepared.ok) return prepared;
  const worst = worstOf(prepared, prepared.marks);
  if (!worst) return NO_VIEW;
  const information = informationOf(prepared, worst.solution.model);
  const matrix = information.base.slice();
  for (const m of prepared.marks) {
    const rows = information.rowsOf(m.print, job.marks[m.mark]);
    if (rows) information.add(matrix, rows);
  }
  const covariance = information.invert(matrix);
  if (!covariance) return NO_VIEW;
  const U = (variance: number) => 2 * Math.sqrt(variance + worst.common ** 2);
  const now = U(information.worst(covariance));
  const cells = cellsOf(job);
  const with1 = Array.from({ length: cells.columns * cells.rows }, (_, k) => {
    const rows = information.rowsOf({ x: ((k % cells.columns) + 0.5) * cells.width, y: (Math.floor(k / cells.columns) + 0.5) * cells.height }, mark);
    return rows ? U(information.worstWith(covariance, rows)) : now;
  });
  return { ok: true, now, ...cells, U: with1 };
}
