import Papa from "papaparse";
import { describe, expect, it } from "vitest";
import { csvText } from "../../../core/statistics/csv.ts";

describe("csvText", () => {
  it("keeps figures unrounded, guards formulas in text and leaves numbers alone", () => {
    const text = csvText(["sheet", "x", "why"], [[1, -0.123456789012, "=1+1"], [2, null, 'torn, "left"'], [3, Number.NaN, "@now"]], { csvSeparator: "comma", decimal: "." });
    expect(Papa.parse(text.trim()).data).toEqual([["sheet", "x", "why"], ["1", "-0.123456789012", "'=1+1"], ["2", "", 'torn, "left"'], ["3", "", "'@now"]]);
  });

  it("writes a decimal comma only where commas do not divide", () => {
    expect(csvText(["x"], [[0.5]], { csvSeparator: "semicolon", decimal: "," })).toContain("0,5");
    expect(csvText(["x"], [[0.5]], { csvSeparator: "comma", decimal: "," })).toContain("0.5");
  });
});
