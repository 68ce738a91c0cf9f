import Papa from "papaparse";
import type { CheckRecord } from "../../../core/check/record.ts";
import { converted, unitName } from "./figures.ts";

export type CsvSeparator = "," | ";" | "\t";

export interface CsvManner {
  /** What divides the columns; default: a comma. */
  readonly csvSeparator?: CsvSeparator;
  readonly decimal?: "." | ",";
  readonly units?: "mm" | "inch";
}

/**
 * Checks as a table (RFC 4180), one row each, every value beside its U and its unit in columns of their own, figures unrounded. A decimal
 * comma is written only where another sign divides the columns. Text cells that a spreadsheet would run as a formula get a leading
 * apostrophe; numbers, also negative ones, are left alone.
 */
export function renderCsv(records: readonly CheckRecord[], { csvSeparator: separator = ",", decimal = ".", units = "mm" }: CsvManner = {}): string {
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
  const write = (value: unknown): string => (typeof value === "number" ? number(value, separator === "," ? "." : decimal) : guarded(String(value ?? "")));
  const table = rows.map((row) => columns.map((column) => write((row as Readonly<Record<string, unknown>>)[column])));
  return `${Papa.unparse({ fields: columns, data: table }, { delimiter: separator })}\r\n`;
}

function number(value: number, decimal: string): string {
  return String(value).replace(".", decimal);
}

/** Signs by which a spreadsheet takes a text for a formula. */
function guarded(text: string): string {
  return /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
}
