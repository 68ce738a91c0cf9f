import type { Settings } from "../app/choices.ts";
import { DECIMAL, type Language } from "./figures.ts";
import type { ReportStyle } from "./report.ts";

/** What of the shop's settings shows in its reports. */
export type ReportSettings = Pick<Settings, "units" | "decimal" | "csvSeparator" | "shopName" | "paper">;

/** How the shop's reports look, by its settings, in a language that reports are written in. Made now. */
export function styleBy({ units, decimal, csvSeparator, shopName, paper }: ReportSettings, language: Language, logo: Uint8Array | undefined): ReportStyle {
  return {
    language, units, csvSeparator, logo, shop: shopName, madeAt: new Date(), paper: paper === "letter" ? "LETTER" : "A4",
    decimal: decimal === "language" ? DECIMAL[language] : decimal === "comma" ? "," : ".",
  };
}
