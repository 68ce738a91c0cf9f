/** A run rule told in plain words, as it stands in the signals. */
export type RunRule =
  | "beyond 3 sigma"
  | "9 in a row on one side"
  | "6 in a row steadily rising or falling"
  | "14 in a row alternating"
  | "2 of 3 beyond 2 sigma on one side"
  | "4 of 5 beyond 1 sigma on one side"
  | "15 in a row within 1 sigma"
  | "8 in a row with none within 1 sigma, on both sides";

/**
 * Two readings of "2 of 3" and "4 of 5" are in use. `any`: the point that completes the pattern is flagged wherever it lies
 * itself. `beyond`: only where it lies beyond the line too.
 */
export type Reading = "any" | "beyond";

export interface RunSignal {
  /** Index into `z`, from 0, of the point that completes the pattern; every completing point is flagged. */
  readonly at: number;
  readonly rule: RunRule;
}

/**
 * Nelson's eight run rules (1984; the four of the Western Electric handbook among them, there with 8 in a row on one side)
 * on standardised values z = (x - centre) / sigma without gaps. Rules: from memory, see tests/reference/run_rules.json.
 */
export function runRules(z: readonly number[], reading: Reading = "beyond"): RunSignal[] {
  const signals: RunSignal[] = [];
  const count = { side: 0, rise: 0, alternate: 0, inside: 0, outside: 0 };
  for (let i = 0; i < z.length; i++) {
    const step = i > 0 ? Math.sign(z[i] - z[i - 1]) : 0;
    const stepBefore = i > 1 ? Math.sign(z[i - 1] - z[i - 2]) : 0;
    const sameSide = i > 0 && Math.sign(z[i]) === Math.sign(z[i - 1]);
    count.side = z[i] === 0 ? 0 : sameSide ? count.side + 1 : 1;
    count.rise = step === 0 ? 1 : step === stepBefore ? count.rise + 1 : 2;
    count.alternate = step === 0 ? 1 : step === -stepBefore ? count.alternate + 1 : 2;
    count.inside = Math.abs(z[i]) < 1 ? count.inside + 1 : 0;
    count.outside = Math.abs(z[i]) > 1 ? count.outside + 1 : 0;
    const flag = (rule: RunRule, found: boolean): void => {
      if (found) signals.push({ at: i, rule });
    };
    flag("beyond 3 sigma", Math.abs(z[i]) > 3);
    flag("9 in a row on one side", count.side >= 9);
    flag("6 in a row steadily rising or falling", count.rise >= 6);
    flag("14 in a row alternating", count.alternate >= 14);
    flag("2 of 3 beyond 2 sigma on one side", fewOf(z, i, 2, 3, 2, reading));
    flag("4 of 5 beyond 1 sigma on one side", fewOf(z, i, 4, 5, 1, reading));
    flag("15 in a row within 1 sigma", count.inside >= 15);
    flag("8 in a row with none within 1 sigma, on both sides", count.outside >= 8 && bothSides(z, i - 7, i));
  }
  return signals;
}

/** Whether, of the last `of` points up to i, at least `few` lie beyond `sigma` on one side. */
function fewOf(z: readonly number[], i: number, few: number, of: number, sigma: number, reading: Reading): boolean {
  if (i + 1 < of) return false;
  for (const side of [1, -1]) {
    if (reading === "beyond" && !(side * z[i] > sigma)) continue;
    let found = 0;
    for (let j = i - of + 1; j <= i; j++) if (side * z[j] > sigma) found++;
    if (found >= few) return true;
  }
  return false;
}

function bothSides(z: readonly number[], from: number, to: number): boolean {
  let [above, below] = [false, false];
  for (let j = from; j <= to; j++) {
    if (z[j] > 0) above = true;
    else below = true;
  }
  return above && below;
}
