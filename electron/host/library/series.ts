import type { Verdict } from "../../../core/check/record.ts";
import type { Connection } from "./connection.ts";
import { JUDGED_VALUES, NO_PLACE, type JudgedValue } from "./judgedValues.ts";

export interface SeriesOptions {
  readonly values: readonly JudgedValue[];
  /**
   * "first-cut" (default): one check per sheet, the latest made before the sheet was cut again: what the process did. "latest": one per sheet,
   * re-cut sheets as they are now. "all": every check.
   */
  readonly which?: "first-cut" | "latest" | "all";
}

/** Judged values of a run as columns of equal length, in order of sheet number, then of capture time. */
export interface Series {
  readonly checkId: readonly number[];
  readonly sheet: readonly (string | null)[];
  readonly sheetNumber: readonly (number | null)[];
  readonly takenAt: readonly string[];
  readonly verdict: readonly Verdict[];
  /** NaN never occurs; null where the sheet has no such value (no creases, or none found). */
  readonly values: Readonly<Partial<Record<JudgedValue, readonly (number | null)[]>>>;
  /** Expanded uncertainties of `values`. */
  readonly U: Readonly<Partial<Record<JudgedValue, readonly (number | null)[]>>>;
}

/** Reads the series of a run; see Series. */
export async function readSeries(db: Connection, runId: number, { values, which = "first-cut" }: SeriesOptions): Promise<Series> {
  const columns = [...new Set(values.flatMap((v) => [JUDGED_VALUES[v].value, JUDGED_VALUES[v].u]))];
  let query = db.selectFrom("checks").select(["id", "sheet", "sheet_number", "place", "taken_at", "verdict", ...columns])
    .where("run_id", "=", runId).where("deleted_at", "is", null).orderBy("place").orderBy("taken_at").orderBy("id");
  if (which === "first-cut") query = query.where("recut", "=", 0);
  const all = await query.execute();
  const rows = which === "all" ? all : onePerSheet(all);
  return {
    checkId: rows.map((r) => r.id),
    sheet: rows.map((r) => r.sheet),
    sheetNumber: rows.map((r) => r.sheet_number),
    takenAt: rows.map((r) => r.taken_at),
    verdict: rows.map((r) => r.verdict as Verdict),
    values: Object.fromEntries(values.map((v) => [v, rows.map((r) => r[JUDGED_VALUES[v].value] ?? null)])),
    U: Object.fromEntries(values.map((v) => [v, rows.map((r) => r[JUDGED_VALUES[v].u] ?? null)])),
  };
}

/** Of the checks of one sheet the one entered last. Checks without a sheet are sheets of their own. */
function onePerSheet<R extends { id: number; sheet: string | null; place: number }>(rows: readonly R[]): R[] {
  const kept = new Map<string | number, R>();
  for (const row of rows) {
    // A sheet named by a number and one named otherwise never meet: keys of numbers and of texts differ.
    const key = row.place !== NO_PLACE ? row.place : row.sheet === null ? `check ${row.id}` : `sheet ${row.sheet}`;
    const former = kept.get(key);
    if (!former) kept.set(key, row);
    else if (row.id > former.id) kept.set(key, row);
  }
  return [...kept.values()];
}
