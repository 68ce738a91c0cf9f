import type { CheckRecord } from "../../../core/check/record.ts";
import { type Cell, type CsvManner, csvText } from "../../../core/statistics/csv.ts";
import { converted, unitName } from "./figures.ts";

/** A comma between the columns, decimal points and mm where nothing else is asked for. */
type ReportManner = Partial<CsvManner> & { readonly units?: "mm" | "inch" };

/**
 * Checks as a table (see `csvText`), one row each, every value beside its U and its unit in columns of their own.
 */
export function renderCsv(records: readonly CheckRecord[], { csvSeparator = "comma", decimal = ".", units = "mm" }: ReportManner = {}): string {
  const length = (mm: number) => converted(mm, "mm", { units });
  const unit = unitName("mm", { units });
  const rows = records.map((record) => {
    const about = { image: record.image, job: record.job, sheet: record.sheet ?? "", status: record.status, verdict: record.verdict ?? "" };
    const notes = { refusal: record.status === "refused" ? record.refusal.code : "", notes: record.warnings.join(" ") };
    if (record.status === "refused") return { ...about, ...notes };
    const { worst, offset, rotation, skew, scale, correction } = record;
    return {
      ...about,
      worst: length(worst.value), worst_U: length(worst.U), worst_unit: unit, worst_feature: worst.feature, worst_x: length(worst.x), worst_y: length(worst.y), worst_place_unit: unit,
      offset_x: length(offset.x), offset_y: length(offset.y), offset_length: length(offset.length), offset_U: length(offset.U), offset_unit: unit,
      rotation: rotation.value, rotation_U: rotation.U, rotation_unit: "mm/m", skew: skew.value, skew_U: skew.U, skew_unit: "mm/m",
      scale_x: scale.x, scale_y: scale.y, scale_U: scale.U, scale_unit: "mm/m",
      correction_x: length(correction.x), correction_y: length(correction.y), correction_unit: unit, correction_rotation: correction.rotation,
      correction_scale_x: correction.scaleX, correction_scale_y: correction.scaleY, correction_rotation_and_scale_unit: "mm/m",
      ...notes,
    };
  });
  const columns = [...new Set([...rows.filter((r) => r.status === "measured"), ...rows].flatMap((r) => Object.keys(r)))];
  return csvText(columns, rows.map((row) => columns.map((column) => (row as Readonly<Record<string, Cell>>)[column] ?? null)), { csvSeparator, decimal });
}
