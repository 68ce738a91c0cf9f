import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Verdict } from "../../../core/check/record.ts";
import { setAside } from "../../../core/setaside/ranges.ts";
import { readChecks } from "../../../core/setaside/table.ts";
import { uniform } from "../../support/gaussian.ts";

const of = (entries: Record<number, Verdict>, sheets: number) => setAside(new Map(Object.entries(entries).map(([s, v]) => [Number(s), v])), sheets);

describe("setAside", () => {
  it("gives the contract's example (section 5)", () => {
    expect(of({ 8: "in", 17: "out", 24: "in" }, 40)).toEqual({
      format: "kerfmark.setaside/1", bad: [17],
      suspect: [{ from: 9, to: 16, fromTop: [25, 32] }, { from: 18, to: 23, fromTop: [18, 23] }],
      clear: [{ from: 1, to: 8 }, { from: 24, to: 40 }], next: 12,
    });
  });

  it("takes the lower of two equal stretches, and prefers one with a good check or an end beside it", () => {
    expect(of({ 5: "in", 10: "out", 15: "in" }, 20).next).toBe(7);
    // 11-39 is longer but lies between two bad checks.
    expect(of({ 5: "in", 10: "out", 40: "out", 45: "in" }, 60).next).toBe(7);
    expect(of({ 1: "out", 10: "out" }, 10).next).toBe(5);
    expect(of({ 1: "in" }, 1)).toMatchObject({ suspect: [], next: null });
  });

  it("clears all of a stack with good checks only, and nothing of one without checks", () => {
    expect(of({ 3: "in" }, 9)).toMatchObject({ clear: [{ from: 1, to: 9 }], next: null });
    expect(of({}, 9)).toMatchObject({ bad: [], clear: [], suspect: [{ from: 1, to: 9, fromTop: [1, 9] }], next: 5 });
  });

  const stacks = fc.integer({ min: 1, max: 60 }).chain((sheets) =>
    fc.tuple(fc.constant(sheets), fc.dictionary(fc.integer({ min: 1, max: sheets }).map(String), fc.constantFrom<Verdict>("in", "out", "unsure"))),
  );

  it("agrees with the plain definition, sheet by sheet", () => {
    fc.assert(fc.property(stacks, ([sheets, checks]) => {
      const result = of(checks, sheets);
      const nearest = (s: number, step: number): string | undefined => {
        for (let t = s; t >= 1 && t <= sheets; t += step) if (checks[t]) return checks[t];
        return undefined;
      };
      const inRanges = (ranges: readonly { from: number; to: number }[], s: number) => ranges.filter((r) => r.from <= s && s <= r.to).length;
      for (let s = 1; s <= sheets; s++) {
        const sides = [nearest(s, -1), nearest(s, 1)].filter((v) => v !== undefined);
        const clear = sides.length > 0 && sides.every((v) => v === "in");
        const bad = checks[s] === "out";
        expect(inRanges(result.clear, s)).toBe(clear ? 1 : 0);
        expect(result.bad.includes(s)).toBe(bad);
        expect(inRanges(result.suspect, s)).toBe(clear || bad ? 0 : 1);
      }
      for (const r of result.suspect) expect(r.fromTop).toEqual([sheets + 1 - r.to, sheets + 1 - r.from]);
      const ranked = result.suspect.map((r) => ({
        middle: Math.floor((r.from + r.to) / 2), length: r.to - r.from + 1,
        anchored: r.from === 1 || r.to === sheets || checks[r.from - 1] === "in" || checks[r.to + 1] === "in",
      }));
      ranked.sort((a, b) => Number(b.anchored) - Number(a.anchored) || b.length - a.length || a.middle - b.middle);
      expect(result.next).toBe(ranked[0]?.middle ?? null);
    }), { numRuns: 500 });
  });

  it("leaves no bad sheet outside bad and suspect in 500 runs whose error is monotone between checks", () => {
    const random = uniform(3);
    let [badSheets, missed, control] = [0, 0, 0];
    for (let run = 0; run < 500; run++) {
      const sheets = 20 + Math.floor(random() * 400);
      const error: number[] = [];
      const checks = new Map<number, Verdict>();
      // Knots are checked; between two knots the signed error runs from one to the other, in unequal steps.
      let [at, value] = [1, random() * 1.2 - 0.6];
      error[1] = value;
      while (at < sheets) {
        const next = Math.min(sheets, at + 1 + Math.floor(random() * 40));
        const goal = random() * 1.2 - 0.6;
        for (let s = at + 1; s <= next; s++) error[s] = s === next ? goal : value + (goal - value) * ((s - at) / (next - at)) ** 3;
        [at, value] = [next, goal];
        if (error[at] !== undefined) checks.set(at, Math.abs(error[at]) <= 0.5 ? "in" : "out");
      }
      checks.set(1, Math.abs(error[1]) <= 0.5 ? "in" : "out");
      const result = setAside(checks, sheets);
      for (let s = 1; s <= sheets; s++) {
        if (Math.abs(error[s]) <= 0.5) continue;
        badSheets++;
        if (result.clear.some((r) => r.from <= s && s <= r.to)) missed++;
        if (!result.bad.includes(s)) control++;
      }
    }
    expect(badSheets).toBeGreaterThan(5000);
    expect(missed).toBe(0);
    expect(control).toBeGreaterThan(1000); // without the suspects many would be missed
  });

  it("corners the first bad sheet among n in at most ceil(log2 n) + 1 checks", () => {
    for (const n of [1, 2, 3, 7, 8, 9, 100, 399, 1200]) {
      for (let first = 1; first <= n; first += Math.max(1, Math.floor(n / 97))) {
        // A good check before the n sheets, a bad one after them; the first bad one is among them.
        const checks = new Map<number, Verdict>([[1, "in"], [n + 2, "out"]]);
        let count = 0;
        const cornered = (): boolean => setAside(checks, n + 2).bad.some((s) => checks.get(s - 1) === "in");
        while (!cornered()) {
          const { next } = setAside(checks, n + 2);
          if (next === null) break;
          checks.set(next, next >= first + 1 ? "out" : "in");
          count++;
        }
        expect(count).toBeLessThanOrEqual(Math.ceil(Math.log2(n)) + 1);
        expect(checks.get(first + 1)).toBe("out");
      }
    }
  });
});

describe("readChecks", () => {
  const read = (csv: string, sheets = 40) => readChecks(csv, sheets);

  it("lets a later row win, takes empty verdicts as not checked, and passes over other columns", () => {
    expect(read("who,verdict,sheet\nA,out,3\nB,in,3\nC,,4\nD,UNSURE,5\n")).toEqual(new Map([[3, "in"], [5, "unsure"]]));
    expect(read("sheet;verdict\r\n7;out\r\n\r\n")).toEqual(new Map([[7, "out"]]));
  });

  it.each([
    ["sheet,verdict\n3,in\n41,in", /Row 2, column "sheet": "41"/],
    ["sheet,verdict\n0,in", /Row 1/],
    ["sheet,verdict\n2.5,in", /"2.5" is not a sheet/],
    ["sheet,verdict\n,in", /Row 1, column "sheet": no sheet/],
    ["sheet,verdict\n1,good", /Row 1, column "verdict": "good"/],
    ["sheet,result\n1,in", /no column "verdict"/],
    ["", /no header/],
    ["sheet,verdict\n\"1,in", /quote is left open/],
  ])("tells what is wrong in %j", (csv, message) => {
    const result = read(csv) as { fault?: { message: string } };
    expect(result.fault?.message).toMatch(message);
  });
});
