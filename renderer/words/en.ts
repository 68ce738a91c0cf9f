import check from "./check.en.ts";
import sheet from "./sheet.en.ts";
import settings from "./settings.en.ts";
import runs from "./runs.en.ts";
import cameras from "./cameras.en.ts";
import gauge from "./gauge.en.ts";
import jobs from "./jobs.en.ts";
import type { Patterns, Sentences } from "../../core/check/report/translate.ts";
import jobSentences from "./jobs.sentences.en.ts";

/** English. Sentences are short and in the trade's words; each function's arguments are ready-written figures. */
export default {
  tag: "en",
  locale: "en-GB",
  ownName: "English",
  product: "Kerfmark",

  places: { check: "Check", runs: "Runs", jobs: "Jobs", cameras: "Cameras", settings: "Settings", places: "Places", guide: "Guide" },

  common: {
    close: "Close",
    stop: "Stop",
    resume: "Go on",
    tryAgain: "Try again",
    undo: "Undo",
    redo: "Redo",
    remove: "Remove",
    save: "Save",
    loading: "Loading…",
    skip: "Skip to the content",
    more: "More",
    of: (n: string, all: string) => `${n} of ${all}`,
    timeLeft: (text: string) => `about ${text} left`,
    seconds: (n: number) => `${n} s`,
    minutes: (n: number) => `${n} min`,
  },

  faults: {
    offline: { message: "The program's other half does not answer.", hint: "Start Kerfmark again; what was recorded is kept." },
    unexpected: { message: "That did not work.", hint: "Try again; if it happens again, report it." },
    byCode: {
      "empty-file": { message: "The file is empty.", hint: "Take the picture again, or copy the file again." },
      "file-too-large": { message: "The file is larger than 2 GB.", hint: "Save the picture smaller." },
      "no-folder": { message: "That folder is not there, or may not be read.", hint: "Choose another one." },
      "no-job": { message: "No job is open.", hint: "Open the sheet's job first." },
      "no-network": { message: "This computer is in no network that a phone could reach.", hint: "Connect it to the shop's network." },
      "phone-busy": { message: "The desk is still measuring the picture before.", hint: "Send one after the other." },
      "phone-too-many": { message: "That is too many pictures at once.", hint: "Wait a minute." },
      "phone-too-large": { message: "That picture is larger than 64 MB.", hint: "Take it with a lower setting." },
      "drawing": { message: "That is a drawing, not a picture of a sheet.", hint: "Make a job from it: Jobs, then import a drawing." },
      "no-logo": { message: "The shop has given no logo.", hint: "Choose one in the settings." },
      "logo-unreadable": { message: "This file cannot be used as a logo.", hint: "Save the logo as PNG or JPEG." },
      "not-measured": { message: "This picture has not been measured yet.", hint: "Wait for its verdict." },
      "no-phone-page": { message: "The phone's page is not there.", hint: "Build it with: npm run build" },
      "no-picture": { message: "That picture is no longer here.", hint: "Put the picture in again." },
      "picture-unreadable": { message: "The picture cannot be shown.", hint: "Save it as JPEG, PNG or TIFF and put it in again." },
      "no-sample": { message: "The sample job is not there.", hint: "Make it with: npx kerfmark sample --out samples" },
    } as Record<string, { message: string; hint: string }>,
  },

  ...sheet,
  ...check,
  runs,

  settings,
  cameras,
  gauge,
  jobs,
  sentences: jobSentences as Sentences,
  /** Names that the import gives to cuts, where the language has others. */
  featureNames: [] as Patterns,
};
