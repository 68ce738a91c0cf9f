import { expect, it } from "vitest";
import type { FeatureReport, Measured } from "../../../core/check/record.ts";
import { verdictKind } from "../../../renderer/sheet/verdictKind.ts";

const feature = (kind: FeatureReport["kind"], coverage: number): FeatureReport => ({ id: "F", kind, mean: 0, max: 0, rms: 0, U: 0.1, coverage });

/** An unsure sheet whose worst place is so far off, with U of 0.1 mm, against a limit of 0.5. */
const sheet = (features: FeatureReport[], worst: number, ...more: Measured["judged"]): Parameters<typeof verdictKind>[1] => ({
  features, verdict: "unsure", worst: { value: worst, U: 0.1, feature: "F", x: 0, y: 0 }, judged: [{ what: "position", value: Math.abs(worst), U: 0.1, limit: 0.5, verdict: "unsure", conformity: 0.5 }, ...more],
});

it("an unsure sheet on which a cut was hardly seen is told so; one near its limit, out or with a faint crease only is not", () => {
  expect(verdictKind("unsure", sheet([feature("cut", 0.9), feature("cut", 0.2)], 0.1))).toBe("hidden");
  expect(verdictKind("unsure", sheet([feature("cut", 0.9)], 0.45))).toBe("unsure");
  expect(verdictKind("unsure", sheet([feature("cut", 0.9), feature("crease", 0)], -0.55))).toBe("unsure");
  expect(verdictKind("out", sheet([feature("cut", 0)], 0.9))).toBe("out");
});

it("one whose worst place keeps its limit with U to spare is unsure since a part was not seen, unless another value decides it", () => {
  expect(verdictKind("unsure", sheet([feature("cut", 0.9)], -0.35))).toBe("astray");
  const close = { what: "rotation" as const, value: 0.5, U: 0.1, limit: 0.5, verdict: "unsure" as const, conformity: 0.5 };
  const [position] = sheet([], 0.1).judged;
  expect(verdictKind("unsure", { ...sheet([feature("cut", 0.9)], 0.1), judged: [{ ...position, verdict: "in", conformity: 0.99 }, close] })).toBe("unsure");
});
