import type { Measured } from "../check/record.ts";

/** The values of a check that a gauge study may look at: x, y and position in mm, the others in mm/m. */
export const GAUGE_VALUES = ["x", "y", "rotation", "skew", "scaleX", "scaleY", "position"] as const;
export type GaugeValue = (typeof GAUGE_VALUES)[number];

/** One reading of each value; `position` is the size of the largest deviation. */
export function gaugeValuesOf({ offset, rotation, skew, scale, worst }: Measured): Record<GaugeValue, number> {
  return { x: offset.x, y: offset.y, rotation: rotation.value, skew: skew.value, scaleX: scale.x, scaleY: scale.y, position: Math.abs(worst.value) };
}
