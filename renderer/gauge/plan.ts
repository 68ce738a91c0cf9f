import type { Study, StudyValues } from "../../electron/host/app/routes/gaugeRoutes.ts";
import type { KnownReading } from "../../core/gauge/bias.ts";
import type { Reading } from "../../core/gauge/study.ts";

export const VALUES = ["x", "y", "rotation", "skew", "scaleX", "scaleY", "position"] as const satisfies readonly (keyof StudyValues)[];
export type Value = (typeof VALUES)[number];

/** One reading that the plan asks for, by numbers from 0. */
export interface Slot {
  readonly key: string;
  readonly sheet: number;
  readonly operator: number;
  readonly repeat: number;
}

export const keyOf = (sheet: number, operator: number, repeat: number): string => `${sheet}/${operator}/${repeat}`;

/** The unit of a value: lengths in mm, the rest in mm per metre. */
export function isLength(value: string): boolean {
  return value === "x" || value === "y" || value === "position";
}

/**
 * The order of taking: every operator goes through all sheets once before anybody begins again, and the sheets come in another order each time, so that nobody reads
 * from memory. The order follows from the plan, so that it is the same tomorrow.
 */
export function orderOf({ sheets, operators, repeats }: Pick<Study, "sheets" | "operators" | "repeats">): Slot[] {
  const slots: Slot[] = [];
  let state = 20_260_101;
  const next = (below: number): number => {
    // Numerical Recipes' linear congruential generator (from memory): mixing needs no better.
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return Math.floor((state / 4_294_967_296) * below);
  };
  for (let repeat = 0; repeat < repeats; repeat++) {
    for (let operator = 0; operator < operators.length; operator++) {
      const mixed = sheets.map((_, i) => i);
      for (let i = mixed.length - 1; i > 0; i--) {
        const k = next(i + 1);
        [mixed[i], mixed[k]] = [mixed[k], mixed[i]];
      }
      for (const sheet of mixed) slots.push({ key: keyOf(sheet, operator, repeat), sheet, operator, repeat });
    }
  }
  return slots;
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
    return values ? [{ part: study.sheets[slot.sheet], operator: study.operators[slot.operator], value: values[study.value as Value] }] : [];
  });
  return { readings: taken, known: taken.flatMap(({ part, value }) => (part in study.references ? [{ reference: study.references[part], value }] : [])) };
}
