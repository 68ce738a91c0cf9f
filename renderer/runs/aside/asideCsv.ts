import { csvText } from "../../../core/statistics/csv.ts";
import type { Settings } from "../../../electron/host/app/choices.ts";
import type { Figures } from "../../figures/figures.ts";
import type { Words } from "../../words/words.ts";
import { type AsideSheet, consequenceTexts } from "./asideRows.ts";

/** The set-aside list, a row for each sheet. */
export function asideCsv(sheets: readonly AsideSheet[], words: Words, settings: Settings, figures: Figures): string {
  const w = words.runs.aside;
  const header = ["sheet", "from_top", "state", "open", "verdict", "worst_mm", "checks", "means", "decision", "who", "why", "seen"];
  return csvText(header, sheets.map((s) => [
    s.sheet, s.fromTop, w.states[s.state], Number(s.open), s.check ? words.verdict[s.check.verdict].word : null, s.check?.worst ?? null, s.checks, consequenceTexts(s, words, figures).join("; ") || null,
    s.decision ? w.decisions[s.decision.decision] : null, s.decision?.who ?? null, s.decision?.why ?? null, s.seen,
  ]), { ...settings, decimal: figures.decimal });
}
