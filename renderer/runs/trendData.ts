import type { InferResponseType } from "hono/client";
import type { Figures } from "../figures/figures.ts";
import type { client } from "../frame/client.ts";

/** The answer of the host on one value of a run. */
export type TrendData = InferResponseType<(typeof client.api.runs)[":id"]["trend"]["$get"], 200>;

const LENGTHS: readonly string[] = ["position", "offsetX", "offsetY", "offsetLength", "crease"];

/** Whether the value is a length (mm) and not a rate (mm/m). */
export function isLength(data: TrendData): boolean {
  return LENGTHS.includes(data.value);
}

export function unitOf(data: TrendData, figures: Figures): string {
  return isLength(data) ? figures.lengthUnit : "mm/m";
}

export function writer(data: TrendData, figures: Figures): (value: number) => string {
  return isLength(data) ? (value) => figures.length(value, true) : (value) => figures.rate(value, true);
}
