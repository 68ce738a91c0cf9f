import { runBin } from "./run.ts";

/** The TypeScript projects, one per environment. */
export const PROJECTS = ["core", "electron", "renderer", "tests", "tools"] as const;

/** Exit status of the linter; warnings fail too, so that none is left lying about. */
export function lint(options: readonly string[] = []): Promise<number> {
  return runBin("oxlint", "oxlint", ["--deny-warnings", ...options]);
}

/** Exit status of the type check of one project. */
export function types(project: (typeof PROJECTS)[number]): Promise<number> {
  return runBin("typescript", "tsc", ["-p", project]);
}
