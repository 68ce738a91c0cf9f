import { existsSync } from "node:fs";
import path from "node:path";

const NAMES = ["chromium", "chromium-browser", "google-chrome-stable", "google-chrome", "chrome.exe"];
const PLACES = [
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "/Applications/Chromium.app/Contents/MacOS/Chromium",
  "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
  "C:\\Program Files (x86)\\Google\\Chrome\\Application\\chrome.exe",
];

/** Path of a Chromium or Chrome for the browser tests (KERFMARK_CHROMIUM names one), undefined where there is none. */
export function findChromium(): string | undefined {
  const named = process.env.KERFMARK_CHROMIUM;
  const onPath = (process.env.PATH ?? "").split(path.delimiter).flatMap((folder) => NAMES.map((name) => path.join(folder, name)));
  return [...(named ? [named] : []), ...onPath, ...PLACES].find((candidate) => existsSync(candidate));
}
