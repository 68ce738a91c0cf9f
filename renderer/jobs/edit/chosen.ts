import type { DraftJob } from "../../../electron/host/library/drafts.ts";

/** What on the sheet is being looked at. */
export type Chosen = { readonly kind: "mark" | "code" | "cut"; readonly index: number } | { readonly kind: "datum" } | null;

/** The thing that a finding's path speaks of: `marks[2].x` is mark 2. */
export function chosenBy(path: string): Chosen {
  const match = /^(mark|code|cut)s\[(\d+)\]/.exec(path);
  return match ? { kind: match[1] as "mark" | "code" | "cut", index: Number(match[2]) } : null;
}

/** The choice where it still stands for something. */
export function standing(chosen: Chosen, job: DraftJob): Chosen {
  if (chosen === null || chosen.kind === "datum") return chosen;
  const list = { mark: job.marks, code: job.codes, cut: job.cuts }[chosen.kind];
  return chosen.index < list.length ? chosen : null;
}
