import { describe, expect, it } from "vitest";
import { ENGLISH, type MessageKey } from "../../../core/trend/messages.ts";
import { figuresFor } from "../../../renderer/figures/figures.ts";
import { type AsideSheet, consequenceTexts, rowsOf } from "../../../renderer/runs/aside/asideRows.ts";
import { brokenLine } from "../../../renderer/runs/charts/plotData.ts";
import { adviceText } from "../../../renderer/runs/now/adviceText.ts";
import de from "../../../renderer/words/de.ts";
import en from "../../../renderer/words/en.ts";

const mm = figuresFor({ units: "mm", decimal: "language" }, "en");
const komma = figuresFor({ units: "mm", decimal: "language" }, "de");
const inch = figuresFor({ units: "inch", decimal: "point" }, "en");
const move = { key: "move" as const, with: { size: "0.41", unit: "mm", direction: "plusX", axis: "X", sign: "+" } };

describe("adviceText", () => {
  it("writes figures in the shop's unit and decimal sign, and directions in the job's own words", () => {
    expect(adviceText(move, en, mm, null)).toBe("Move the cut 0.41 mm to the right as seen at the cutter (X +0.41).");
    expect(adviceText(move, de, komma, null)).toBe("Den Schnitt um 0,41 mm nach rechts verschieben, am Schneider gesehen (X +0,41).");
    expect(adviceText(move, en, inch, { plusX: "to the window", minusX: "", plusY: "", minusY: "" })).toContain("0.0161 in to the window");
  });

  it("has every sentence in both languages with the same things to be filled in, and causes marked as practice", () => {
    const holes = (text: string) => [...new Set(text.match(/\{\w+\}/g) ?? [])].sort();
    for (const [key, text] of Object.entries(ENGLISH) as [MessageKey, string][]) {
      // "The cut is turned" needs no value in either language; a German sentence may not fill in more than the message gives.
      expect(holes(text), key).toEqual(expect.arrayContaining(holes(de.runs.advice[key])));
      if (key.startsWith("cause.")) expect(de.runs.advice[key], key).toContain("(Branchenbrauch, ohne Quelle)");
    }
  });

  it("leaves nothing to be filled in", () => {
    const values = { value: "offsetX", at: "sheet", since: "421", event: "tool-changed", size: "0.415", half: "0.019", unit: "mm", direction: "minusY", axis: "Y", sign: "-" };
    for (const key of Object.keys(ENGLISH) as MessageKey[]) for (const words of [en, de]) expect(adviceText({ key, with: values }, words, mm, null), key).not.toMatch(/[{}]|undefined/);
  });
});

describe("brokenLine", () => {
  it("breaks where sheets are missing and where nothing was measured, and keeps every row in its place", () => {
    const line = brokenLine([1, 3, 5, 21, 23, 25], [1, null, 2, 3, 4, 5]);
    expect(line.rows).toEqual([0, -1, 2, -1, 3, 4, 5]);
    expect(line.x[3]).toBe(13);
    expect(line.y.map(Number.isNaN)).toEqual([false, true, false, true, false, false, false]);
  });
});

describe("consequenceTexts", () => {
  it("calls cuts that the import named by their name in the reader's language, others as they are called", () => {
    const consequence = (feature: string) => ({ feature, side: "right" as const, outwards: 0.4, inwards: 0, whiteEdge: 0, cutInto: 0, bleedLeft: 2.6 });
    const sheet = { sheet: 1, fromTop: 1, state: "bad", seen: null, open: true, decision: null, check: null, checks: 1, consequences: [consequence("piece 2, outer edge"), consequence("Lid")] } as unknown as AsideSheet;
    const texts = consequenceTexts(sheet, de, komma);
    expect(texts[0]).toContain("Stück 2, Außenkante");
    expect(texts[1]).toContain("Lid");
    expect(consequenceTexts(sheet, en, mm)[0]).toContain("piece 2, outer edge");
  });
});

describe("rowsOf", () => {
  const sheet = (n: number, changes: Partial<AsideSheet> = {}): AsideSheet => ({ sheet: n, fromTop: 41 - n, state: "suspect", seen: null, open: true, decision: null, check: null, checks: 0, consequences: [], ...changes });

  it("tells unchecked neighbours as one line, checked and differently decided ones apart", () => {
    const checked = sheet(12, { state: "bad", check: { id: 1, verdict: "out", worst: 0.6, recut: 0 } });
    const rows = rowsOf([sheet(9), sheet(10), sheet(11), checked, sheet(13), sheet(14, { open: false }), sheet(17)]);
    expect(rows.map((r) => [r.from, r.to])).toEqual([[9, 11], [12, 12], [13, 13], [14, 14], [17, 17]]);
    expect(rows[0]).toMatchObject({ fromTop: [30, 32], open: 3 });
  });
});
