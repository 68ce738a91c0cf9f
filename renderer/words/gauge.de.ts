import type en from "./gauge.en.ts";

/** Deutsch, Messsystemanalyse: Plan, Messungen, Ergebnis, Längenprüfung. */
export default {
  title: "Messsystem\u00adanalyse",
  intro: "Wie viel von dem, was gemessen wird, ist das Messen selbst? Einige Bogen werden von jedem Bediener mehrmals aufgenommen; die Streuung sagt es. Üblich sind zehn Bogen, zwei oder drei Bediener, zwei oder drei Wiederholungen.",
  back: "Kameras und Scanner",
  noJob: "Zuerst unter Prüfen den Auftrag der Bogen öffnen. Die Bilder werden gegen ihn gemessen und in keinen Lauf eingetragen.",
  job: (name) => `Gemessen gegen den Auftrag „${name}“.`,
  plan: {
    title: "Plan", sheets: "Bogen", operators: "Bediener", repeats: "Messungen jedes Bogens durch jeden Bediener", names: "Namen, durch Kommas getrennt", value: "Betrachteter Wert",
    tolerance: (unit) => `Ganze Breite der Toleranz, ${unit}`, start: "Diesen Plan verwenden", change: "Plan ändern", clear: "Neu beginnen",
    clearSure: "Das entfernt alle Messungen der Analyse. Neu beginnen?", count: (n) => `${n} Bilder insgesamt`,
    few: "Nötig sind mindestens zwei Bogen, zwei Bediener und zwei Messungen.", kept: "Messungen, deren Bogen und Bediener im Plan bleiben, bleiben erhalten.",
  },
  values: { x: "Versatz nach rechts", y: "Versatz nach oben", rotation: "Drehung", skew: "Aus dem Winkel", scaleX: "Dehnung quer", scaleY: "Dehnung längs", position: "Schlechteste Stelle" },
  take: {
    title: "Messungen", next: (operator, sheet, repeat) => `Als Nächstes: ${operator} nimmt Bogen ${sheet} auf, Messung ${repeat}`,
    how: "Den Bogen jedes Mal neu legen und neu aufnehmen. Die Reihenfolge ist gemischt, damit niemand nach Gedächtnis geht.",
    add: "Dieses Bild hineingeben", several: "oder mehrere in dieser Reihenfolge", all: "Alle Messungen sind da.", of: (done, all) => `${done} von ${all}`,
    sheet: "Bogen", reading: (operator, repeat) => `${operator} ${repeat}`, remove: (sheet, operator, repeat) => `Messung von Bogen ${sheet}, ${operator} ${repeat} entfernen`,
    removed: "Die Messung ist entfernt.",
    measuring: (name) => `${name} wird gemessen …`, reference: "Wahrer Wert", referenceNote: "Ist der wahre Wert eines Bogens bekannt (ein gemessenes Normal), ihn angeben: daraus folgen systematische Abweichung und Linearität.",
  },
  result: {
    title: "Ergebnis", wait: "Das Ergebnis erscheint, wenn alle Messungen da sind.", impossible: (reason) => `Kein Ergebnis: ${reason}.`,
    good: "Geeignet für diese Toleranz: das Messen braucht weniger als 10 % von ihr.", fair: "Brauchbar für diese Toleranz: das Messen braucht 10 bis 30 % von ihr.", poor: "Nicht geeignet für diese Toleranz: das Messen braucht mehr als 30 % von ihr.",
    rule: "10 % und 30 % sind allgemeine Praxis.", ofTolerance: "der Toleranz", source: "Quelle", sd: "Streuung (1 s)", variance: "% der Varianz", study: "% der Streuung", tolerance: "% der Toleranz",
    rows: { gauge: "Messen, insgesamt", repeatability: "Wiederholbarkeit (derselbe Bediener nochmals)", reproducibility: "Vergleichbarkeit (zwischen Bedienern)", part: "Zwischen Bogen", total: "Gesamt" },
    ndc: (n) => `Die Bogen lassen sich in ${n} Klassen unterscheiden (5 oder mehr sind gewünscht, wo Bogen verglichen werden).`, ndcNone: "Das Messen streut überhaupt nicht.",
    pooled: "Bediener und Bogen wirken nicht zusammen; dieser Teil zählt zur Wiederholbarkeit.", interacts: "Manche Bediener messen manche Bogen anders (Wechselwirkung).",
    bias: "Systematische Abweichung", biasText: (v, low, high) => `${v} (95 %: ${low} bis ${high})`, linearity: "Linearität", linearityText: (v, low, high) => `der Fehler wächst um ${v} je Einheit (95 %: ${low} bis ${high})`,
    anova: "Varianzanalyse", dof: "Freiheitsgrade", ss: "Quadratsumme", ms: "Mittleres Quadrat", sources: { part: "Bogen", operator: "Bediener", interaction: "Bogen × Bediener", repeatability: "Wiederholbarkeit" },
  },
  length: {
    title: "Längenprüfung", how: "Bekannte Längen messen (Stahllineal, Prüfplatte) und beides eintragen. Jeder Fehler muss innerhalb von A + L/K bleiben.",
    a: "A, mm", k: "K", reference: "Wahre Länge, mm", value: "Gemessen, mm", add: "Hinzufügen", remove: (l) => `Länge ${l} entfernen`, error: "Fehler", permitted: "Zulässig",
    passed: (n) => `Bestanden: alle ${n} Fehler liegen innerhalb von A + L/K.`, failed: (l) => `Nicht bestanden: bei ${l} mm ist der Fehler größer als zulässig.`,
    chart: "Fehler über der Länge, mit den Grenzen plus und minus (A + L/K)", none: "Noch keine Längen.",
  },
} satisfies typeof en;
