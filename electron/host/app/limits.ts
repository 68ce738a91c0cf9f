import type { Tolerance } from "../../../core/job/schema.ts";
import type { Limits } from "../../../core/trend/capability.ts";
import type { JudgedValue } from "../library/judgedValues.ts";

/**
 * The tolerance limits of a judged value, about zero; a length has an upper one only. The offset's limit rules its
 * length, so that each of its parts has to keep it as well. Undefined where the job gives none.
 */
export function limitsOf(tolerance: Tolerance, value: JudgedValue): Limits | undefined {
  const limit = {
    position: tolerance.position, offsetX: tolerance.offset, offsetY: tolerance.offset, offsetLength: tolerance.offset,
    rotation: tolerance.rotation, skew: tolerance.skew, scaleX: tolerance.scale, scaleY: tolerance.scale, crease: tolerance.crease,
  }[value];
  if (limit === undefined) return undefined;
  return value === "offsetLength" ? { upper: limit } : { lower: -limit, upper: limit };
}
