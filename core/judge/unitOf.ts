import type { JudgedQuantity } from "../check/record.ts";

/** The unit in which a judged value is recorded. */
export function unitOf(what: JudgedQuantity): "mm" | "mm/m" {
  return what === "position" || what === "offset" || what === "crease" ? "mm" : "mm/m";
}
