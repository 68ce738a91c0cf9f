import type { Judged } from "../../core/check/record.ts";
import { useShop } from "../settings/useSettings.tsx";

/** How a value that has a tolerance is written: its name, its unit, and figures of it in that unit. */
export interface JudgedFigures {
  readonly name: string;
  readonly unit: string;
  write(value: number): string;
}

export function useJudgedFigures(): (what: Judged["what"]) => JudgedFigures {
  const { words, figures } = useShop();
  return (what) => {
    const isLength = what === "position" || what === "offset" || what === "crease";
    return { name: what === "rotation" ? words.values.turn : words.values[what], unit: isLength ? figures.lengthUnit : "mm/m", write: isLength ? figures.length : figures.rate };
  };
}
