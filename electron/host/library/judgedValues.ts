import type { Measured } from "../../../core/check/record.ts";

/** The measured values that are kept in columns of their own, so that a run's series is read without its records. */
export const JUDGED_VALUES = {
  position: { value: "worst", u: "worst_u" },
  offsetX: { value: "offset_x", u: "offset_u" },
  offsetY: { value: "offset_y", u: "offset_u" },
  offsetLength: { value: "offset_length", u: "offset_u" },
  rotation: { value: "rotation", u: "rotation_u" },
  skew: { value: "skew", u: "skew_u" },
  scaleX: { value: "scale_x", u: "scale_u" },
  scaleY: { value: "scale_y", u: "scale_u" },
  crease: { value: "crease", u: "crease_u" },
} as const;

/** `position` and `crease` are the worst deviations with their sign; mm, or mm/m for rotation, skew and scale. */
export type JudgedValue = keyof typeof JUDGED_VALUES;

/** The columns of a measured record. */
export function columnsOf(record: Measured) {
  const creases = record.features.filter((f) => f.kind === "crease" && f.coverage > 0);
  const crease = creases.length === 0 ? null : creases.reduce((a, b) => (Math.abs(b.max) > Math.abs(a.max) ? b : a));
  return {
    verdict: record.verdict,
    offset_x: record.offset.x, offset_y: record.offset.y, offset_length: record.offset.length, offset_u: record.offset.U,
    rotation: record.rotation.value, rotation_u: record.rotation.U,
    skew: record.skew.value, skew_u: record.skew.U,
    scale_x: record.scale.x, scale_y: record.scale.y, scale_u: record.scale.U,
    worst: record.worst.value, worst_u: record.worst.U, worst_feature: record.worst.feature,
    crease: crease?.max ?? null, crease_u: crease?.U ?? null,
  };
}

/** Where a check without a sheet number stands: after all that have one. */
export const NO_PLACE = Number.MAX_SAFE_INTEGER;

/** A sheet's number where its name is one ("17"), else null ("17b", none). */
export function sheetNumber(sheet: string | null | undefined): number | null {
  return sheet && /^\d{1,9}$/.test(sheet) ? Number(sheet) : null;
}
