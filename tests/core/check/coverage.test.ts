import { describe, expect, it } from "vitest";
import { coverageOf, sheetsOf, type Coverage, type Quantity } from "../../bench/parts/coverageStudy.ts";
import { KINDS } from "../../bench/parts/simulatedSheet.ts";

// A small part of tests/bench/coverage.ts, which prints the whole table. Limits allow for so few sheets: 60 independent intervals of 95 % hold 90 % or more in 97 of 100 tries.
const EACH = 10;
const sheets = KINDS.map((kind) => sheetsOf(kind, EACH, 5));
const share = (all: readonly Coverage[], q: Quantity): number => all.reduce((s, c) => s + c.held[q] / all.length, 0);

describe("the intervals of a check, over simulated sheets", () => {
  it("hold the truth, and fail to where every U is halved (negative control)", () => {
    const stated = sheets.map((some) => coverageOf(some));
    const halved = sheets.map((some) => coverageOf(some, 0.5));
    expect(stated.reduce((s, c) => s + c.lost, 0)).toBe(0);
    for (const q of ["offset", "rotation", "skew", "scale", "worst"] as const) expect(share(stated, q), q).toBeGreaterThan(0.85);
    expect(share(stated, "offset")).toBeGreaterThan(0.9);
    for (const q of ["offset", "scale", "worst"] as const) expect(share(halved, q), q).toBeLessThan(0.85);
  });

  it("grow where a bent board contradicts the view: two millimetres do not pass for a flat sheet", () => {
    const flat = coverageOf(sheets[KINDS.indexOf("profile")]);
    const bent = coverageOf(sheetsOf("profile", EACH, 5, { bow: 2 }));
    expect(bent.U.offset).toBeGreaterThan(1.5 * flat.U.offset);
  });
});
