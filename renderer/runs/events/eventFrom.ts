import type { Figures } from "../../figures/figures.ts";
import type { client } from "../../frame/client.ts";

export const KINDS = ["tool-changed", "pallet-changed", "correction", "material-lot", "humidity", "restart", "note"] as const;
export type Kind = (typeof KINDS)[number];
export const TOOL_KINDS = ["blade", "crease", "other"] as const;
/** The parts of a correction, in the order in which they are asked for. */
export const CORRECTED = ["x", "y", "rotation", "scaleX", "scaleY"] as const;

/** Whether a part of a correction is a length, in the shop's unit on the screens; the others are mm/m. */
export const isLength = (key: (typeof CORRECTED)[number]): boolean => key === "x" || key === "y";

type EventJson = Parameters<(typeof client.api.runs)[":id"]["events"]["$post"]>[0]["json"];

/** The event that a filled-in form says; what was left empty is left out. */
export function eventFrom(form: FormData, kind: Kind, figures: Pick<Figures, "toMm">): EventJson {
  const text = (name: string) => String(form.get(name) ?? "").trim();
  const number = (name: string) => Number(text(name).replace(",", ".").replace("−", "-"));
  const common = {
    sheetNumber: text("before") === "" ? null : number("before"), who: text("who"), note: text("note"),
    ...(kind === "tool-changed" && text("code") !== "" && { tool: { code: text("code"), kind: text("toolKind") as (typeof TOOL_KINDS)[number], ...(text("metres") !== "" && { metresBefore: number("metres") }) } }),
  };
  if (kind === "correction") {
    return { ...common, kind, detail: Object.fromEntries(CORRECTED.filter((key) => text(key) !== "").map((key) => [key, isLength(key) ? figures.toMm(number(key)) : number(key)])) };
  }
  if (kind === "material-lot") return { ...common, kind, detail: { lot: text("lot") } };
  if (kind === "humidity") return { ...common, kind, detail: { percent: number("percent") } };
  return { ...common, kind, detail: {} };
}
