import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import de from "../../../renderer/words/de.ts";

const root = join(import.meta.dirname, "../../..");
/** Folders whose sentences reach the screens as they were written there. */
const FOLDERS = [
  "core/job/import", "core/job/export", "core/design", "core/witness", "electron/host/app", "electron/host/app/routes", "electron/host/library", "electron/host/runs",
  "electron/host/watch", "electron/host/pictures", "electron/host/measure",
];
/** Said to whoever reads the program's log, not on a screen. */
const LOG = /^The list of the pictures that wait on the desk is damaged\. /;

/** What stands in some sentences for more than a figure. */
const MEANT: Readonly<Record<string, string>> = { "${kind}": "cut", "${KEPT}": "What was recorded before is kept; this last entry was not recorded." };

/** Whole sentences among a source's texts: they begin with a capital letter or a figure and end with a full stop. What varies stands as a figure. */
function sentencesOf(source: string): string[] {
  const code = source.replace(/\/\*[\s\S]*?\*\/|^\s*\/\/.*$|new Error\(.*$/gm, "");
  const texts = [...code.matchAll(/"((?:[^"\\\n]|\\.)*)"|`((?:[^`\\]|\\.)*)`|'((?:[^'\\\n]|\\.)*)'/g)].map((m) => m[1] ?? m[2] ?? m[3]);
  return texts.map((t) => filled(t)).filter((t) => /^[A-Z0-9"].* .*\.$/s.test(t)).map((t) => t.replaceAll('\\"', '"'));
}

/** Puts a figure where the text has ${...}, or the last of the words that it chooses from. */
function filled(text: string): string {
  const start = text.indexOf("${");
  if (start < 0) return text;
  let end = start + 2;
  for (let depth = 1; depth > 0 && end < text.length; end++) depth += text[end] === "{" ? 1 : text[end] === "}" ? -1 : 0;
  const choice = /\? .*"([^"]*)"\}$/s.exec(text.slice(start, end));
  const word = MEANT[text.slice(start, end)] ?? "7";
  return `${text.slice(0, start)}${choice?.[1] ?? word}${filled(text.slice(end))}`;
}

describe("German", () => {
  it.each(FOLDERS)("has every sentence of %s", (folder) => {
    const sources = readdirSync(join(root, folder)).filter((f) => f.endsWith(".ts")).map((f) => readFileSync(join(root, folder, f), "utf8"));
    const sentences = [...new Set(sources.flatMap(sentencesOf))];
    expect(sentences.length).toBeGreaterThan(1);
    expect(sentences.filter((s) => !de.sentences.some(([pattern]) => pattern.test(s)) && !LOG.test(s))).toEqual([]);
  });
});
