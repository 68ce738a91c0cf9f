import type { InferResponseType } from "hono/client";
import type { Figures } from "../figures/figures.ts";
import { client } from "../frame/client.ts";
import type { Words } from "../words/words.ts";

const run = client.api.runs[":id"];

/** The host's answers on a run, by what was asked. */
export type Overview = InferResponseType<typeof run.$get, 200>;
export type Charts = InferResponseType<typeof run.trend.$get, 200>;
export type AdviceAnswer = InferResponseType<typeof run.advice.$get, 200>;
export type Aside = InferResponseType<typeof run.setaside.$get, 200>;
export type Sampling = InferResponseType<typeof run.sampling.$get, 200>;
export type Wear = InferResponseType<typeof run.wear.$get, 200>;
export type Event = Overview["events"][number];

/** A judged value of a run that has a name in `words.values`. */
export type Value = Charts["value"];

/** The values in the order in which they are offered. */
export const VALUES = ["offsetX", "offsetY", "rotation", "skew", "scaleX", "scaleY", "position", "crease"] as const satisfies readonly Value[];

const RATES: readonly Value[] = ["rotation", "skew", "scaleX", "scaleY"];

/** How one judged value is written: mm (or the shop's unit) with its decimals, or mm/m. */
export interface Scale {
  readonly unit: string;
  readonly name: string;
  /** From mm or mm/m to the unit shown. */
  convert(value: number): number;
  write(value: number, signed?: boolean): string;
}

/** How a value of the run is called and shown: lengths in the shop's unit, rates in mm/m. */
export function scaleOf(value: Value, words: Words, figures: Figures): Scale {
  const name = words.values[value];
  if (RATES.includes(value)) return { name, unit: "mm/m", convert: (v) => v, write: (v, signed) => figures.rate(v, signed) };
  return { name, unit: figures.lengthUnit, convert: figures.fromMm, write: (v, signed) => figures.length(v, signed) };
}
