import { GERMAN_NAMES, GERMAN_REFUSALS, GERMAN_SENTENCES } from "../../../core/check/report/german.ts";
import type { Refusal, Verdict } from "../../../core/check/record.ts";
import { translated, translatedName } from "../../../core/check/report/translate.ts";
import type { Decision } from "../library/dispositions.ts";
import type { Language } from "./figures.ts";

const en = {
  sheetReport: "Check of a sheet", runReport: "Check of a run", made: "Report made", job: "Job", version: "Job version", sheet: "Sheet", picture: "Picture", run: "Run",
  sheets: "Sheets in the stack", checked: "Sheets checked", profile: "Camera or scanner profile", noProfile: "none",
  notKnown: "not recorded", taken: "Taken", tolerances: "Tolerances", verdict: "Verdict", values: "Measured values", quantity: "Quantity", value: "Value", U: "U (k = 2)", limit: "Limit",
  unit: "Unit", chance: "Sure to be within", worst: "Worst place", at: "at", correction: "Correction for the cutter", features: "Cuts and creases", feature: "Feature", kind: "Kind", witnesses: "Witnesses", witness: "Witness", notRead: "not read",
  mean: "Mean", largest: "Largest", rms: "RMS", found: "Found", notFound: "not found", cut: "cut", crease: "crease", warnings: "Notes", offset: "Offset", offsetX: "Offset, right +", offsetY: "Offset, up +",
  rotation: "Turn", skew: "Out of square", scaleX: "Stretch across", scaleY: "Stretch along", scale: "Stretch", position: "Worst place", refusal: "Not measured", todo: "What to do",
  enlarged: (k: number) => `Deviations drawn ${k} times enlarged, from where the print says each cut belongs to where it is.`,
  charts: "Control charts", capability: "Capability", upper: "upper limit", lower: "lower limit", centre: "centre", allTheSheets: "All checks", setAside: "Set aside", suspect: "Suspect", byEye: "By eye", open: "open",
  bad: "Out", fromTop: "from the top", next: "Check next", nothingAside: "No sheet is to be set aside.", noStack: "The number of sheets in the stack is not recorded, so nothing can be said of the sheets between the checks.",
  decisions: "Decisions", decision: "Decision", who: "By", why: "Reason", when: "When", signals: "Signals", signalsNone: "No signals.",
  uncertainty: "Uncertainty",
  uncertaintyText: "U is the expanded uncertainty with coverage factor k = 2 (about 95 %), by the Guide to the Expression of Uncertainty in Measurement (JCGM 100:2008). Verdicts follow JCGM 106:2012: in where the value is within its limit with a probability of at least 95 %, out with at most 5 %, else unsure; never in where no more than about half of a cut was seen. A sheet's deviations are cut minus print, in the frame of the print.",
  signatures: ["Measured by", "Released by"], page: (n: number, of: number) => `Page ${n} of ${of}`,
  verdicts: { in: "IN", out: "OUT", unsure: "UNSURE" } satisfies Record<Verdict, string>,
  counts: { in: "in", out: "out", unsure: "unsure" } satisfies Record<Verdict, string>,
  disposition: { aside: "set aside", accept: "accept", "re-cut": "re-cut", reprint: "reprint", scrap: "scrap", concession: "concession" } satisfies Record<Decision, string>,
};

export type ReportWords = typeof en;

const de: ReportWords = {
  sheetReport: "Prüfung eines Bogens", runReport: "Prüfung einer Auflage", made: "Bericht erstellt", job: "Auftrag", version: "Auftragsversion", sheet: "Bogen", picture: "Bild", run: "Auflage",
  sheets: "Bogen im Stapel", checked: "Geprüfte Bogen", profile: "Kamera- oder Scannerprofil", noProfile: "keines",
  notKnown: "nicht aufgezeichnet", taken: "Aufgenommen", tolerances: "Toleranzen", verdict: "Urteil", values: "Messwerte", quantity: "Größe", value: "Wert", U: "U (k = 2)", limit: "Grenze",
  unit: "Einheit", chance: "Sicher innerhalb", worst: "Schlechteste Stelle", at: "bei", correction: "Korrektur am Schneider", features: "Schnitte und Rillungen", feature: "Linie", kind: "Art", witnesses: "Zeugen", witness: "Zeuge", notRead: "nicht gelesen",
  mean: "Mittel", largest: "Größte", rms: "RMS", found: "Gefunden", notFound: "nicht gefunden", cut: "Schnitt", crease: "Rillung", warnings: "Hinweise", offset: "Versatz", offsetX: "Versatz, rechts +", offsetY: "Versatz, oben +",
  rotation: "Drehung", skew: "Winkelfehler", scaleX: "Dehnung quer", scaleY: "Dehnung längs", scale: "Dehnung", position: "Schlechteste Stelle", refusal: "Nicht gemessen", todo: "Was zu tun ist",
  enlarged: (k) => `Abweichungen ${k}-fach vergrößert, von der Lage laut Druck zur Lage des Schnitts.`,
  charts: "Regelkarten", capability: "Fähigkeit", upper: "obere Grenze", lower: "untere Grenze", centre: "Mittellinie", allTheSheets: "Alle Prüfungen", setAside: "Aussortieren", suspect: "Verdächtig", byEye: "Nach Augenschein", open: "offen",
  bad: "Schlecht", fromTop: "von oben", next: "Als Nächstes prüfen", nothingAside: "Kein Bogen ist auszusortieren.", noStack: "Die Zahl der Bogen im Stapel ist nicht aufgezeichnet, über die Bogen zwischen den Prüfungen lässt sich daher nichts sagen.",
  decisions: "Entscheidungen", decision: "Entscheidung", who: "Von", why: "Grund", when: "Wann", signals: "Signale", signalsNone: "Keine Signale.",
  uncertainty: "Unsicherheit",
  uncertaintyText: "U ist die erweiterte Unsicherheit mit dem Erweiterungsfaktor k = 2 (etwa 95 %) nach dem Leitfaden zur Angabe der Unsicherheit beim Messen (JCGM 100:2008). Die Urteile folgen JCGM 106:2012: gut, wo der Wert mit mindestens 95 % Wahrscheinlichkeit innerhalb der Grenze liegt, schlecht bei höchstens 5 %, sonst unsicher; nie gut, wo von einem Schnitt nur etwa die Hälfte oder weniger zu sehen war. Abweichungen sind Schnitt minus Druck, im Bezugssystem des Drucks.",
  signatures: ["Gemessen von", "Freigegeben von"], page: (n, of) => `Seite ${n} von ${of}`,
  verdicts: { in: "GUT", out: "SCHLECHT", unsure: "UNSICHER" },
  counts: { in: "gut", out: "schlecht", unsure: "unsicher" },
  disposition: { aside: "aussortiert", accept: "annehmen", "re-cut": "nachschneiden", reprint: "neu drucken", scrap: "Ausschuss", concession: "Sonderfreigabe" },
};

export const REPORT_WORDS: Readonly<Record<Language, ReportWords>> = { en, de };

/** A sentence of the check in the report's language. */
export function sentenceIn(language: Language, text: string): string {
  return language === "de" ? translated(text, GERMAN_SENTENCES, GERMAN_NAMES) : text;
}

/** The name of a cut in the report's language, where the import gave it. */
export function nameIn(language: Language, name: string): string {
  return language === "de" ? translatedName(name, GERMAN_NAMES) : name;
}

/** A refusal in the report's language. */
export function refusalIn(language: Language, refusal: Refusal): Pick<Refusal, "message" | "hint"> {
  return language === "de" ? GERMAN_REFUSALS[refusal.code] : refusal;
}
