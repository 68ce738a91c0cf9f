import { expect, it } from "vitest";
import type { FeatureReport } from "../../../core/check/record.ts";
import { verdictKind } from "../../../renderer/sheet/verdictKind.ts";

const feature = (kind: FeatureReport["kind"], coverage: number): FeatureReport => ({ id: "F", kind, mean: 0, max: 0, rms: 0, U: 0.1, coverage });

it("an unsure sheet on which a cut was hardly seen is told so; one near its limit, out or with a faint crease only is not", () => {
  expect(verdictKind("unsure", { features: [feature("cut", 0.9), feature("cut", 0.2)] })).toBe("hidden");
  expect(verdictKind("unsure", { features: [feature("cut", 0.9)] })).toBe("unsure");
  expect(verdictKind("unsure", { features: [feature("cut", 0.9), feature("crease", 0)] })).toBe("unsure");
  expect(verdictKind("out", { features: [feature("cut", 0)] })).toBe("out");
});
