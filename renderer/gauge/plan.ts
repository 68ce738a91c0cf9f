import type { KnownReading } from "../../core/gauge/bias.ts";
import { keyOf, orderOf } from "../../core/gauge/plan.ts";
import type { GaugeValue } from "../../core/gauge/values.ts";
import type { Study } from "../../electron/host/app/routes/gaugeRoutes.ts";
import type { Reading } from "../../core/gauge/study.ts";

/** The unit of a value: lengths in mm, the rest in mm per metre. */
export function isLength(value: string): boolean {
  return value === "x" || value === "y" || value === "position";
}

/** The study under another plan: readings stay with the sheet and operator of the same name. */
export function replanned(study: Study, plan: Pick<Study, "sheets" | "operators" | "repeats" | "value" | "tolerance">): Study {
  const readings: Study["readings"] = {};
  plan.sheets.forEach((sheet, i) => plan.operators.forEach((operator, j) => {
    const [from, by] = [study.sheets.indexOf(sheet), study.operators.indexOf(operator)];
    for (let r = 0; r < plan.repeats; r++) {
      const old = study.readings[keyOf(from, by, r)];
      if (from >= 0 && by >= 0 && old) readings[keyOf(i, j, r)] = old;
    }
  }));
  const references = Object.fromEntries(Object.entries(study.references).filter(([sheet]) => plan.sheets.includes(sheet)));
  return { ...study, ...plan, readings, references };
}

/** What the statistics take: the readings of the chosen value, and those of sheets whose true value is known. */
export function readingsOf(study: Study): { readings: Reading[]; known: KnownReading[] } {
  const taken = orderOf(study).flatMap((slot) => {
    const values = study.readings[slot.key]?.values;
    return values ? [{ part: study.sheets[slot.sheet], operator: study.operators[slot.operator], value: values[study.value as GaugeValue] }] : [];
  });
  return { readings: taken, known: taken.flatMap(({ part, value }) => (part in study.references ? [{ reference: study.references[part], value }] : [])) };
}
