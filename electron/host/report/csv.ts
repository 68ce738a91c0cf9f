import Papa from "papaparse";
import type { CheckRecord } from "../../../core/check/record.ts";

export type CsvSeparator = "," | ";" | "\t";

/**
 * Checks as a table (RFC 4180), one row each, every value beside its U and its unit in columns of their own, figures unrounded. A decimal
 * comma is written only where another sign divides the columns. Text cells that a spreadsheet would run as a formula get a leading
 * apostrophe; numbers, also negative ones, are left alone.
 */
export function renderCsv(records: readonly CheckRecord[], separator: CsvSeparator = ",", decimal: "." | "," = "."): string {
  const rows = records.map((record) => {
    const about = { image: record.image, job: record.job, sheet: record.sheet ?? "", status: record.status, verdict: record.verdict ?? "" };
    const notes = { refusal: record.status === "refused" ? record.refusal.code : "", notes: record.warnings.join(" ") };
    if (record.status === "refused") return { ...about, ...notes };
    const { worst, offset, rotation, skew, scale, correction } = record;
    return {
      ...about,
      worst: worst.value, worst_U: worst.U, worst_unit: "mm", worst_feature: worst.feature, worst_x: worst.x, worst_y: worst.y, worst_place_unit: "mm",
      offset_x: offset.x, offset_y: offset.y, offset_length: offset.length, offset_U: offset.U, offset_unit: "mm",
      rotation: rotation.value, rotation_U: rotation.U, rotation_unit: "mm/m", skew: skew.value, skew_U: skew.U, skew_unit: "mm/m",
      scale_x: scale.x, scale_y: scale.y, scale_U: scale.U, scale_unit: "mm/m",
      correction_x: correction.x, correction_y: correction.y, correction_unit: "mm", correction_rotation: correction.rotation,
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
