import { expect, test } from "vitest";
import type { Judged, Measured, Verdict } from "../../../core/check/record.ts";
import { deciding } from "../../../renderer/sheet/deciding.ts";

const judged = (what: Judged["what"], verdict: Verdict, conformity: number): Judged => ({ what, value: 0.5, U: 0.02, limit: 0.4, verdict, conformity });
const WORST = { value: -0.3, U: 0.03, feature: "blank", x: 0, y: 0 };
const told = (verdict: Verdict, ...all: Judged[]): string => deciding({ judged: all, verdict, worst: WORST } as Pick<Measured, "judged" | "verdict" | "worst">).what;

test("the headline tells the value that decides: the worst place where it does, else the one least likely to keep its tolerance", () => {
  expect(told("out", judged("position", "in", 0.99), judged("rotation", "out", 0.01), judged("scale", "out", 0.001))).toBe("scale");
  expect(told("out", judged("rotation", "out", 0.001), judged("position", "out", 0.04))).toBe("position");
  expect(told("unsure", judged("position", "in", 0.99), judged("offset", "unsure", 0.4))).toBe("offset");
  expect(told("in", judged("position", "in", 0.97), judged("offset", "in", 0.96))).toBe("position");
});

test("where nothing decides by itself it is the worst place, with its size", () => {
  expect(deciding({ judged: [judged("position", "in", 0.99)], verdict: "unsure", worst: WORST })).toMatchObject({ what: "position", limit: 0.4 });
  expect(deciding({ judged: [], verdict: "unsure", worst: WORST })).toEqual({ what: "position", value: 0.3, U: 0.03 });
});
