import type { Judged, Measured } from "../../core/check/record.ts";

/** The value that decides the verdict: the worst place where it does, else the one that is least likely to keep its tolerance. */
export function deciding({ judged, verdict, worst }: Pick<Measured, "judged" | "verdict" | "worst">): Pick<Judged, "what" | "value" | "U"> & Partial<Pick<Judged, "limit">> {
  const likeVerdict = judged.filter((one) => one.verdict === verdict);
  const worstPlace = { what: "position" as const, value: Math.abs(worst.value), U: worst.U };
  if (likeVerdict.length === 0) return { ...worstPlace, ...judged.find((one) => one.what === "position") };
  return likeVerdict.find((one) => one.what === "position") ?? likeVerdict.reduce((a, b) => (b.conformity < a.conformity ? b : a));
}
