import { readFileSync } from "node:fs";
import path from "node:path";
import { expect, it } from "vitest";

const root = path.resolve(import.meta.dirname, "../../..");

/** The declarations of the first block after a selector. */
function declared(css: string, selector: string): string[] {
  const body = css.slice(css.indexOf(selector) + selector.length).match(/^\s*\{([^}]*)\}/)?.[1] ?? "";
  return body.split(";").map((one) => one.trim()).filter(Boolean);
}

// CSS cannot state a block for a system's wish and for the reader's at once, so that it stands twice.
it.each(["renderer/style/theme.css", "renderer/jobs/jobs.css"])("%s is as dark by the system's wish as by the reader's", (file) => {
  const css = readFileSync(path.join(root, file), "utf8");
  const chosen = declared(css, ':root[data-theme="dark"]');
  expect(chosen.length).toBeGreaterThan(5);
  expect(declared(css, ':root:not([data-theme="light"], [data-theme="contrast"])')).toEqual(chosen);
});
