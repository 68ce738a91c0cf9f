import type { JudgedQuantity } from "../../core/check/record.ts";
import { unitOf } from "../../core/judge/unitOf.ts";
import type { Figures } from "../figures/figures.ts";
import type { Words } from "../words/words.ts";

/** How a value that has a tolerance is written: its name, its unit, and figures of it in that unit. */
interface JudgedFigures {
  readonly name: string;
  readonly unit: string;
  write(value: number): string;
}

export function judgedFigures(what: JudgedQuantity, { values }: Pick<Words, "values">, { length, lengthUnit, rate }: Figures): JudgedFigures {
  const name = what === "rotation" ? values.turn : values[what];
  return unitOf(what) === "mm" ? { name, unit: lengthUnit, write: length } : { name, unit: "mm/m", write: rate };
}
