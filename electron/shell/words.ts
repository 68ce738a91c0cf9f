/** The few texts of the shell itself; everything else stands on the page. */
const WORDS = {
  en: {
    open: "Open…", folder: "Choose a folder", settings: "Settings…", print: "Print…", guide: "Guide", kinds: "Jobs and pictures", notTaken: "Not everything could be taken in.",
    sending: "Pictures are still on their way to the desk.", sendingDetail: "What has not arrived is not measured and would have to be put in again.", wait: "Wait", leave: "Close all the same",
    crashed: "Kerfmark stopped unexpectedly last time. Everything that was recorded is in the library.",
  },
  de: {
    open: "Öffnen …", folder: "Ordner wählen", settings: "Einstellungen …", print: "Drucken …", guide: "Anleitung", kinds: "Aufträge und Bilder", notTaken: "Nicht alles konnte übernommen werden.",
    sending: "Bilder sind noch unterwegs zum Arbeitsplatz.", sendingDetail: "Was nicht angekommen ist, wird nicht gemessen und müsste noch einmal eingelegt werden.", wait: "Warten", leave: "Trotzdem schließen",
    crashed: "Kerfmark wurde beim letzten Mal unerwartet beendet. Alles, was aufgezeichnet wurde, ist im Archiv.",
  },
} as const;

export type ShellWords = (typeof WORDS)["en" | "de"];

/** @param locale as the system gives it, "de-AT" */
export function shellWords(locale: string): ShellWords {
  return locale.startsWith("de") ? WORDS.de : WORDS.en;
}
