import { translatedName } from "../../../core/check/report/translate.ts";
import type { Figures } from "../../figures/figures.ts";
import type { Words } from "../../words/words.ts";
import type { Aside } from "../runData.ts";

export type AsideSheet = Aside["sheets"][number];

/** Neighbouring sheets that stand alike and of which none was checked, told as one line; checked sheets stand alone. */
export interface AsideRow {
  readonly from: number;
  readonly to: number;
  readonly fromTop: readonly [number, number];
  readonly first: AsideSheet;
  readonly open: number;
}

/** Neighbouring sheets of which there is the same to say as one row. */
export function rowsOf(sheets: readonly AsideSheet[]): AsideRow[] {
  const rows: { from: number; to: number; first: AsideSheet; open: number; fromTop: [number, number] }[] = [];
  for (const sheet of sheets) {
    const last = rows.at(-1);
    if (last && last.to === sheet.sheet - 1 && !sheet.check && !last.first.check && alike(last.first, sheet)) {
      last.to = sheet.sheet;
      last.fromTop = [sheet.fromTop, last.fromTop[1]];
      last.open += Number(sheet.open);
    } else rows.push({ from: sheet.sheet, to: sheet.sheet, fromTop: [sheet.fromTop, sheet.fromTop], first: sheet, open: Number(sheet.open) });
  }
  return rows;
}

function alike(a: AsideSheet, b: AsideSheet): boolean {
  return a.state === b.state && a.open === b.open && a.decision?.batch === b.decision?.batch;
}

/** What the errors of a checked sheet mean for the print, in the trade's words; what shows comes before what is only near. */
export function consequenceTexts(sheet: AsideSheet, words: Words, figures: Figures): string[] {
  const w = words.runs.aside;
  const mm = (v: number) => `${figures.length(v)} ${figures.lengthUnit}`;
  const texts = sheet.consequences.map(({ feature: id, side, whiteEdge, cutInto, bleedLeft, safeLeft, outwards, inwards }) => {
    const name = w.sides[side];
    const feature = translatedName(id, words.featureNames);
    if (whiteEdge) return w.white(feature, name, mm(whiteEdge));
    if (cutInto) return w.cutInto(feature, name, mm(cutInto));
    if (bleedLeft !== undefined && outwards >= inwards) return w.bleedLeft(feature, name, mm(bleedLeft));
    return safeLeft === undefined ? "" : w.safeLeft(feature, name, mm(safeLeft));
  });
  return texts.filter(Boolean).slice(0, 2);
}
