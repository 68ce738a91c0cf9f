import type { z } from "zod";

/** One thing that is wrong with a job file. */
export interface JobFault {
  /** Where in the file, as `marks[2].inner`; empty for the file as a whole. */
  readonly path: string;
  /** What was expected there, to follow the word "expected"; null where the fault is something that should not be there. */
  readonly expected: string | null;
  /** The whole fault as a sentence, its path included. */
  readonly message: string;
  /** Line of the file, counted from 1, where the file came as text and the place is in it. */
  readonly line?: number;
}

export type Step = string | number;

/** A fault with the steps to its place, for finding its line. */
export interface PlacedFault extends JobFault {
  readonly steps: readonly Step[];
}

/** A path's steps in the file's own notation. */
export function pathText(steps: readonly Step[]): string {
  return steps.map((s, i) => (typeof s === "number" ? `[${s}]` : i === 0 ? s : `.${s}`)).join("");
}

/** A fault from its parts. `found` is the value at the path; undefined says that it is missing. */
export function unexpected(steps: readonly Step[], expected: string, found: unknown): PlacedFault {
  const path = pathText(steps);
  const where = path === "" ? "the job" : path;
  const message = found === undefined ? `${where} is missing: expected ${expected}` : `${where}: expected ${expected}, found ${show(found)}`;
  return { steps, path, expected, message: `${message}.` };
}

/** A short rendering of a value for a sentence. */
function show(value: unknown): string {
  if (value === null) return "null";
  if (Array.isArray(value)) return "a list";
  if (typeof value === "object") return "an object";
  const text = typeof value === "string" ? JSON.stringify(value) : String(value);
  return text.length > 40 ? `${text.slice(0, 37)}...` : text;
}

/** The faults that a schema's check of `raw` gave, each unknown key by itself. */
export function faultsOf(issues: readonly z.core.$ZodIssue[], raw: unknown, base: readonly Step[] = []): PlacedFault[] {
  return issues.flatMap((issue): PlacedFault[] => {
    const steps = [...base, ...issue.path.map((s) => (typeof s === "symbol" ? String(s) : s))];
    if (issue.code === "invalid_union" && issue.errors.length > 0) return faultsOf(likeliest(issue.errors), raw, steps);
    if (issue.code === "unrecognized_keys") {
      return issue.keys.map((key) => {
        const path = pathText([...steps, key]);
        return { steps: [...steps, key], path, expected: null, message: `${path}: unknown key ${JSON.stringify(key)}.` };
      });
    }
    return [unexpected(steps, expectation(issue), valueAt(raw, steps))];
  });
}

/** Of a union's branches the one that was meant: the one that complains least about the keys that are there. */
function likeliest(branches: ReadonlyArray<readonly z.core.$ZodIssue[]>): readonly z.core.$ZodIssue[] {
  const strangers = (issues: readonly z.core.$ZodIssue[]) => issues.filter((i) => i.code === "unrecognized_keys").length;
  return branches.reduce((best, b) => (strangers(b) < strangers(best) || (strangers(b) === strangers(best) && b.length < best.length) ? b : best));
}

const NAMES: Record<string, string> = { object: "an object", array: "a list", string: "a text", number: "a finite number" };

function expectation(issue: z.core.$ZodIssue): string {
  if (issue.code === "invalid_type") return NAMES[issue.expected] ?? issue.expected;
  if (issue.code === "invalid_value") return oneOf(issue.values);
  if (issue.code === "invalid_union" && "options" in issue) return oneOf(issue.options as readonly unknown[]);
  if (issue.code === "too_small" && issue.origin === "number") return issue.inclusive ? `a number of ${issue.minimum} or more` : `a number greater than ${issue.minimum}`;
  if (issue.code === "too_small") return issue.origin === "array" ? "at least one entry" : "a text that is not empty";
  if (issue.code === "too_big") return `a text of at most ${issue.maximum} characters`;
  return issue.message;
}

function oneOf(values: readonly unknown[]): string {
  const shown = values.map((v) => JSON.stringify(v));
  return shown.length === 1 ? shown[0] : `one of ${shown.join(", ")}`;
}

/** The value at a place of a parsed file; undefined where there is none. */
export function valueAt(raw: unknown, steps: readonly Step[]): unknown {
  return steps.reduce<unknown>((at, s) => (typeof at === "object" && at !== null && Object.hasOwn(at, s) ? (at as Record<Step, unknown>)[s] : undefined), raw);
}
