/** A crossed gauge study that is still to be taken: every operator measures every sheet so many times. */
export interface GaugePlan {
  readonly sheets: readonly string[];
  readonly operators: readonly string[];
  readonly repeats: number;
}

/** One reading that the plan asks for, by numbers from 0. */
export interface Slot {
  readonly key: string;
  readonly sheet: number;
  readonly operator: number;
  readonly repeat: number;
}

/** What the reading of a sheet by an operator, for the nth time, is kept under; all counted from 0. */
export const keyOf = (sheet: number, operator: number, repeat: number): string => `${sheet}/${operator}/${repeat}`;

/**
 * The order of taking: every operator goes through all sheets once before anybody begins again, and the sheets come in another order each time, so that nobody reads
 * from memory. The order follows from the plan, so that it is the same tomorrow.
 */
export function orderOf({ sheets, operators, repeats }: GaugePlan): Slot[] {
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
