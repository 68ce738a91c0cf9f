import { describe, expect, it } from "vitest";
import { GERMAN_NAMES, GERMAN_SENTENCES } from "../../../../core/check/report/german.ts";
import type { FeatureReport } from "../../../../core/check/record.ts";
import type { ReportInput } from "../../../../core/check/report/report.ts";
import { translated } from "../../../../core/check/report/translate.ts";
import { warningsOf } from "../../../../core/check/report/warnings.ts";

const feature = (id: string, coverage: number, kind: FeatureReport["kind"] = "cut"): FeatureReport => ({ id, kind, mean: 0, max: 0, rms: 0, U: 0.1, coverage });

interface Seen {
  readonly features?: readonly FeatureReport[];
  readonly unseen?: readonly { feature: string; length: number; x: number; y: number; mayHaveLeft?: boolean }[];
  readonly off?: readonly string[];
  readonly rejected?: readonly number[];
  readonly payload?: string;
  readonly sheet?: string;
}

function warned({ features = [], unseen = [], off = [], rejected = [], payload, sheet }: Seen): string[] {
  const codes = payload === undefined ? [] : [{ symbology: "qr", x: 0, y: 0, size: 18, payload }];
  return warningsOf({
    job: { codes, marks: [{ id: "M1" }] }, sheet, pxPerMm: 4, placed: { seen: [{ mark: 0 }] },
    solution: { rejected, doubtful: false, data: {} }, deviations: { features, offFeatures: off, unseen, stretches: [] },
  } as unknown as ReportInput);
}

const many = (say: (i: number) => string): string[] => Array.from({ length: 5 }, (_, i) => say(i + 1));

describe("what a record warns of", () => {
  it("is nothing where everything was found and read", () => {
    expect(warned({ features: [feature("A", 1)], payload: "job={job};sheet={sheet}", sheet: "17" })).toEqual([]);
  });

  it("names a cut that was not found", () => {
    expect(warned({ features: [feature("A", 0), feature("B", 0.4)] })).toEqual([
      '"A" was not found: without it the sheet is unsure at best. Look at it.',
      'Only 40 % of "B" was found: without the rest the sheet is unsure at best. Look at it.',
    ]);
  });

  it("names a crease that was not found apart: the sheet is judged without it", () => {
    expect(warned({ features: [feature("A", 0, "crease"), feature("B", 0.4, "crease")] })).toEqual([
      '"A" was not found and is not judged: look at it on the sheet.',
      'Only 40 % of "B" was found: the rest is not judged.',
    ]);
  });

  it("says the same of several in one sentence that names the worst few, worst first", () => {
    const parts = [0.4, 0.12, 0.3, 0.2, 0.1].map((coverage, i) => feature(`P${i}`, coverage));
    const lines = warned({ features: [...many((i) => `N${i}`).map((id) => feature(id, 0)), ...parts, ...many((i) => `U${i}`).map((id) => feature(id, 0.9))], unseen: many((i) => `U${i}`).map((id, i) => ({ feature: id, length: 20 + i, x: i, y: 7 })), off: ["X", "Y"] });
    expect(lines).toHaveLength(4);
    expect(lines[0]).toMatch(/^Not found were "N1", "N2", "N3" and 2 more: /);
    expect(lines[1]).toBe('Only parts were found of "P4" (10 %), "P1" (12 %), "P3" (20 %) and 2 more: without the rest the sheet is unsure at best. Look at them.');
    expect(lines[2]).toMatch(/^Long parts were not seen of "U5" \(24 mm at x 4, y 7 mm\), "U4" .* and 2 more: the worst place may lie there\./);
    expect(lines[3]).toMatch(/^Off from what the other cuts agree on lie "X", "Y": /);
  });

  it("tells of each cut the longest part alone that was not seen, and of none that was poorly found anyway", () => {
    const unseen = [{ feature: "A", length: 20, x: 1, y: 1 }, { feature: "A", length: 40, x: 2, y: 2 }, { feature: "B", length: 90, x: 3, y: 3 }];
    const lines = warned({ features: [feature("A", 0.8), feature("B", 0.2)], unseen });
    expect(lines).toEqual(['Only 20 % of "B" was found: without the rest the sheet is unsure at best. Look at it.', 'Of "A" 40 mm in one piece were not seen, near x 2, y 2 mm: the worst place may lie there. Look at it.']);
  });

  it("says where a cut was not seen and may have left its path, which leaves the sheet unsure", () => {
    const at = { x: 2, y: 2, length: 40 };
    expect(warned({ features: [feature("A", 0.9)], unseen: [{ ...at, feature: "A", mayHaveLeft: true }] })).toEqual(['Of "A" 40 mm in one piece were not seen, near x 2, y 2 mm, and the knife may have left its path there: the sheet is unsure at best. Look at it.']);
    const [both] = warned({ features: [feature("A", 0.9), feature("B", 0.8)], unseen: ["A", "B"].map((id) => ({ ...at, feature: id, mayHaveLeft: true })) });
    expect(both).toMatch(/^Parts were not seen, where the knife may have left its path, of "A" \(40 mm at x 2, y 2 mm\), "B" .*: the sheet is unsure at best\./);
    expect(translated(both, GERMAN_SENTENCES, GERMAN_NAMES)).toMatch(/^Teile, an denen das Messer seinen Weg verlassen haben kann, waren nicht zu sehen von „A“ .* bestenfalls unsicher\. Dort nachsehen\.$/);
  });

  it("says where a code holds the sheet's number and was not read; a code without it has nothing to say", () => {
    expect(warned({ payload: "job={job};sheet={sheet}" })).toEqual([expect.stringMatching(/^The sheet's number was not read from its code: /)]);
    expect(warned({ payload: "job={job}" })).toEqual([]);
    expect(warned({})).toEqual([]);
  });

  it("all of it has its German, lists and the import's names in them as well", () => {
    const several = many((i) => `piece ${i}, hole 1`);
    for (const names of [several.slice(0, 1), several.slice(0, 2), several]) {
      const features = [...(["cut", "crease"] as const).flatMap((kind) => [...names.map((id) => feature(id, 0, kind)), ...names.map((id) => feature(id, 0.2, kind))]), ...names.map((id) => feature(`${id}u`, 0.9))];
      const lines = warned({ features, unseen: names.map((id) => ({ feature: `${id}u`, length: 30, x: 1, y: 2 })), off: names, rejected: [0], payload: "{sheet}" });
      expect(lines).toHaveLength(8);
      for (const line of lines) {
        const german = translated(line, GERMAN_SENTENCES, GERMAN_NAMES);
        expect(german).not.toBe(line);
        expect(german).not.toMatch(/"|\b(and|more|at|piece|hole 1)\b(?!u)/);
      }
    }
    expect(translated(warned({ features: several.map((id) => feature(id, 0)) })[0], GERMAN_SENTENCES, GERMAN_NAMES)).toMatch(/^Nicht gefunden wurden „Stück 1, Loch 1“, „Stück 2, Loch 1“, „Stück 3, Loch 1“ und 2 weitere: /);
  });
});
