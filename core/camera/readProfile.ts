import { z } from "zod";
import { profileSchema } from "./profile.ts";
import type { Profile } from "./profile.ts";

export type ReadProfile = { readonly ok: true; readonly profile: Profile } | { readonly ok: false; readonly errors: readonly string[] };

/** Reads a profile file. Each error is one sentence that names the place in the file and what was expected there. */
export function readProfile(text: string): ReadProfile {
  const parsed = parseJson(text, profileSchema, "kerfmark.camera/1", ["camera", "scanner"]);
  return parsed.ok ? { ok: true, profile: parsed.value } : parsed;
}

type Parsed<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly errors: readonly string[] };

/** JSON text checked against a versioned schema; the format is looked at first, so that another file is called by its name. `kinds`: what `kind` may be in the file. */
export function parseJson<T>(text: string, schema: z.ZodType<T>, format: string, kinds: readonly string[]): Parsed<T> {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    return { ok: false, errors: [`The file is not JSON: ${error instanceof Error ? error.message : String(error)}.`] };
  }
  const found = typeof value === "object" && value !== null && "format" in value ? value.format : undefined;
  if (found !== format) {
    return { ok: false, errors: [`format: expected "${format}", found ${found === undefined ? "none" : JSON.stringify(found)}.`] };
  }
  const result = schema.safeParse(value);
  return result.success ? { ok: true, value: result.data } : { ok: false, errors: result.error.issues.flatMap((issue) => sentencesOf(issue, kinds)) };
}

function sentencesOf(issue: z.core.$ZodIssue, kinds: readonly string[]): string[] {
  const path = z.core.toDotPath(issue.path);
  if (issue.code === "unrecognized_keys") {
    return issue.keys.map((key) => `${path ? `${path}.` : ""}${key}: unknown key.`);
  }
  if (issue.code === "invalid_union" && issue.discriminator) return [`${issue.discriminator}: expected ${kinds.map((k) => `"${k}"`).join(" or ")}.`];
  return [`${path || "file"}: ${issue.message.replace(/^Invalid input: /, "")}.`];
}
