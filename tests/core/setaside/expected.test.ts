import { describe, expect, it } from "vitest";
import { expectedBad } from "../../../core/setaside/expected.ts";
import { gaussian, uniform } from "../../support/gaussian.ts";

describe("expectedBad", () => {
  it("holds the true number in its 90 % interval in 84 to 97 % of simulated runs, and is right on average", () => {
    const normal = gaussian(21);
    const runs = 200;
    let [held, narrow, sumExpected, sumTrue] = [0, 0, 0, 0];
    for (let run = 0; run < runs; run++) {
      const value = Array.from({ length: 201 }, (_, s) => 0.0025 * s + 0.06 * normal());
      const sheets = Array.from({ length: 20 }, (_, i) => 5 + 10 * i);
      const suspects = [{ from: 151, to: 154 }, { from: 156, to: 164 }, { from: 166, to: 174 }];
      const bad = suspects.flatMap((r) => value.slice(r.from, r.to + 1)).filter((v) => Math.abs(v) > 0.4).length;
      const told = expectedBad(sheets, sheets.map((s) => value[s]), 0.4, suspects, uniform(run));
      if (!told) throw new Error("nothing told");
      expect(told.suspects).toBe(22);
      if (Math.floor(told.low) <= bad && bad <= Math.ceil(told.high)) held++;
      if (Math.abs(bad - told.expected) < (told.high - told.low) / 8) narrow++;
      sumExpected += told.expected;
      sumTrue += bad;
    }
    expect(held / runs).toBeGreaterThan(0.84);
    expect(held / runs).toBeLessThan(0.98);
    expect(narrow / runs).toBeLessThan(0.84); // an interval a quarter as wide must fail
    expect(sumExpected / sumTrue).toBeGreaterThan(0.9);
    expect(sumExpected / sumTrue).toBeLessThan(1.1);
  });

  it("says the same for the same stream, and nothing where there is nothing to say", () => {
    const ask = () => expectedBad([1, 5, 9], [0.1, 0.2, 0.35], 0.3, [{ from: 6, to: 8 }], uniform(1));
    expect(ask()).toEqual(ask());
    expect(expectedBad([1, 5], [0, 1], 0.3, [{ from: 2, to: 4 }], uniform(1))).toBeNull();
    expect(expectedBad([1, 5, 9], [0, 0, 1], 0.3, [], uniform(1))).toBeNull();
  });
});
