import check from "./check.de.ts";
import sheet from "./sheet.de.ts";
import settings from "./settings.de.ts";
import runs from "./runs.de.ts";
import hostSentences from "./host.sentences.de.ts";
import runSentences from "./runs.sentences.de.ts";
import cameras from "./cameras.de.ts";
import gauge from "./gauge.de.ts";
import jobs from "./jobs.de.ts";
import cameraSentences from "./cameras.sentences.de.ts";
import jobSentences from "./jobs.sentences.de.ts";
import { GERMAN_NAMES, GERMAN_SENTENCES } from "../../core/check/report/german.ts";
import type { Words } from "./words.ts";

/** Deutsch. */
export default {
  tag: "de",
  locale: "de-DE",
  ownName: "Deutsch",
  product: "Kerfmark",

  places: { check: "Prüfen", runs: "Auflagen", jobs: "Aufträge", cameras: "Kameras", settings: "Einstellungen", places: "Bereiche", guide: "Anleitung" },

  common: {
    close: "Schließen",
    stop: "Anhalten",
    resume: "Weiter",
    tryAgain: "Noch einmal",
    undo: "Rückgängig",
    redo: "Wiederholen",
    remove: "Entfernen",
    save: "Speichern",
    loading: "Wird geladen …",
    skip: "Zum Inhalt springen",
    more: "Mehr",
    of: (n, all) => `${n} von ${all}`,
    timeLeft: (text) => `noch etwa ${text}`,
    seconds: (n) => `${n} s`,
    minutes: (n) => `${n} min`,
  },

  faults: {
    offline: { message: "Die andere Hälfte des Programms antwortet nicht.", hint: "Kerfmark neu starten; was aufgezeichnet ist, bleibt erhalten." },
    unexpected: { message: "Das hat nicht geklappt.", hint: "Noch einmal versuchen; wenn es wieder geschieht, bitte melden." },
    byCode: {
      "empty-file": { message: "Die Datei ist leer.", hint: "Das Bild neu aufnehmen oder die Datei neu kopieren." },
      "file-too-large": { message: "Die Datei ist größer als 2 GB.", hint: "Das Bild kleiner speichern." },
      "too-large": { message: "Das ist zu viel auf einmal.", hint: "Das Bild kleiner oder als JPEG speichern." },
      "desk-full": { message: "Zu viele Bilder warten am Arbeitsplatz.", hint: "Erst messen lassen oder einige wegnehmen, dann die anderen einlegen." },
      "no-folder": { message: "Diesen Ordner gibt es nicht, oder er ist nicht lesbar.", hint: "Einen anderen wählen." },
      "no-job": { message: "Kein Auftrag ist geöffnet.", hint: "Zuerst den Auftrag des Bogens öffnen." },
      "no-network": { message: "Dieser Rechner ist in keinem Netz, das ein Telefon erreichen könnte.", hint: "Mit dem Netz des Betriebs verbinden." },
      "phone-busy": { message: "Das Bild davor wird noch gemessen.", hint: "Eines nach dem anderen senden." },
      "phone-too-many": { message: "Das sind zu viele Bilder auf einmal.", hint: "Eine Minute warten." },
      "phone-too-large": { message: "Dieses Bild ist größer als 64 MB.", hint: "Mit geringerer Einstellung aufnehmen." },
      "drawing": { message: "Das ist eine Zeichnung, kein Bild eines Bogens.", hint: "Einen Auftrag daraus machen: Aufträge, dann eine Zeichnung einlesen." },
      "no-logo": { message: "Es ist kein Logo hinterlegt.", hint: "In den Einstellungen eines wählen." },
      "logo-unreadable": { message: "Diese Datei ist als Logo nicht brauchbar.", hint: "Das Logo als PNG oder JPEG speichern." },
      "not-measured": { message: "Dieses Bild ist noch nicht gemessen.", hint: "Auf das Urteil warten." },
      "no-phone-page": { message: "Die Seite für das Telefon fehlt.", hint: "Anlegen mit: npm run build" },
      "no-picture": { message: "Dieses Bild ist nicht mehr hier.", hint: "Das Bild noch einmal einlegen." },
      "picture-unreadable": { message: "Das Bild lässt sich nicht anzeigen.", hint: "Als JPEG, PNG oder TIFF speichern und neu einlegen." },
      "no-sample": { message: "Der Beispielauftrag fehlt.", hint: "Anlegen mit: npx kerfmark sample --out samples" },
      "no-library": { message: "Es gibt hier kein Archiv, also werden keine Auflagen geführt.", hint: "Kerfmark mit einem Archivordner starten." },
    },
  },

  ...sheet,
  ...check,
  runs,

  settings,
  cameras,
  gauge,
  jobs,
  sentences: [
    ...runSentences,
    ...jobSentences,
    ...cameraSentences,
    ...hostSentences,
    ...GERMAN_SENTENCES,
  ],
  featureNames: GERMAN_NAMES,
} satisfies Words;
