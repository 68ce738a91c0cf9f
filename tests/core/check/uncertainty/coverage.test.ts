import { describe, expect, it } from "vitest";
import { coverageOf, sheetsOf, type Coverage, type Quantity } from "../../../bench/parts/coverageStudy.ts";
import { KINDS } from "../../../bench/parts/simulatedSheet.ts";

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
    for (const q of ["offset", "scale", "worst"] as const) expect(share(halved, q), q).toBeLessThan(0.88);
  });

  it("hold on a board that is bent like a plate, and hardly grow; a washboard is seen, said and held too, a flat board is not said to be one", () => {
    const bent = (shape: "plate" | "wave"): Coverage[] => (["photo", "profile"] as const).map((kind) => coverageOf(sheetsOf(kind, EACH, 5, { bow: 1, shape })));
    const flat = (["photo", "profile"] as const).map((kind) => coverageOf(sheets[KINDS.indexOf(kind)]));
    const [plate, wave] = [bent("plate"), bent("wave")];
    for (const q of ["offset", "scale", "worst"] as const) expect(share(plate, q), q).toBeGreaterThan(0.82);
    for (const q of ["offset", "scale"] as const) expect(share(wave, q), q).toBeGreaterThan(0.85);
    const wavy = (all: readonly Coverage[]): number => all.reduce((n, c) => n + c.wavy, 0);
    expect(wavy(wave)).toBeGreaterThan(EACH);
    expect(wavy(flat)).toBe(0);
    plate.forEach((c, i) => expect(c.U.offset).toBeLessThan(1.2 * flat[i].U.offset));
  });

  it("hold with a profile ten times as uncertain that says so", () => {
    const loose = [coverageOf(sheetsOf("profile", 2 * EACH, 6, { looseProfile: 10 }))];
    for (const q of ["offset", "scale", "worst"] as const) expect(share(loose, q), q).toBeGreaterThan(0.82);
  });
});
