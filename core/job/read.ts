import { findNodeAtLocation, parseTree, printParseErrorCode, type Node, type ParseError } from "jsonc-parser";
import { checkParts, jobWarnings } from "./checks.ts";
import { faultsOf, pathText, valueAt, type JobFault, type PlacedFault, type Step } from "./faults.ts";
import { describeAmbiguity, layoutAmbiguities } from "./layout.ts";
import { jobSchema, type Job } from "./schema.ts";

export type ReadJob = { readonly ok: true; readonly job: Job; readonly warnings: readonly string[] } | { readonly ok: false; readonly errors: readonly JobFault[] };

/** Larger files are not job files, characters. */
const LONGEST = 64_000_000;

/**
 * Reads a job file: its text, or what JSON.parse made of it. Strict (unknown and repeated keys are faults), and all faults are told at once, each with
 * its path in the file and what was expected there. A valid job may still carry warnings, for instance of a mark
 * layout that looks the same after a half turn.
 */
export function readJob(source: string | unknown): ReadJob {
  if (typeof source !== "string") return judge(source, null);
  const text = source.startsWith("\uFEFF") ? source.slice(1) : source;
  const faults = (...errors: JobFault[]): ReadJob => ({ ok: false, errors });
  if (text.trim() === "") return faults({ path: "", expected: "a job file", message: "The job file is empty." });
  if (text.length > LONGEST) return faults({ path: "", expected: `a file of at most ${LONGEST / 1e6} MB`, message: `The job file is too large: expected at most ${LONGEST / 1e6} MB.` });
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch (reason) {
    return faults(reason instanceof SyntaxError ? badJson(text) : tooDeep);
  }
  try {
    return judge(raw, text);
  } catch (reason) {
    if (reason instanceof RangeError) return faults(tooDeep);
    throw reason;
  }
}

const tooDeep: JobFault = { path: "", expected: "a job file", message: "The job file is nested too deeply: expected a job, which has five levels at most." };

function judge(raw: unknown, text: string | null): ReadJob {
  const parsed = jobSchema.safeParse(raw);
  const tree = text === null ? undefined : parseTree(text);
  const found = [...(parsed.success ? [] : faultsOf(parsed.error.issues, raw)), ...checkParts(raw), ...(tree ? repeatedKeys(tree, []) : [])];
  if (!parsed.success || found.length > 0) {
    const lines = text === null ? null : lineStarts(text);
    return { ok: false, errors: found.map(({ steps, ...fault }) => (tree && lines ? { ...fault, line: lineOf(tree, steps, lines) } : fault)) };
  }
  const job = { ...parsed.data, name: parsed.data.name || parsed.data.id };
  const notSaid = NOT_SAID.filter(({ key }) => valueAt(raw, [key]) === undefined).map(({ warning }) => warning);
  return { ok: true, job, warnings: [...notSaid, ...jobWarnings(job), ...layoutAmbiguities(job).map(describeAmbiguity)] };
}

/** What a job may leave out, and what it is read as then is to be known. */
const NOT_SAID = [
  { key: "cutFrom", warning: "The job does not say which side the blade enters (cutFrom): corrections are given as seen from the printed side." },
  { key: "state", warning: "The job does not say whether its pieces have been taken out of the sheet (state): they are taken to be in it." },
] as const;

/** Where a text stops being JSON. */
function badJson(text: string): JobFault {
  const errors: ParseError[] = [];
  try {
    parseTree(text, errors, { disallowComments: true });
  } catch (reason) {
    if (reason instanceof RangeError) return tooDeep;
    throw reason;
  }
  const starts = lineStarts(text);
  const offset = errors[0]?.offset ?? text.length;
  const line = lineAt(starts, offset);
  const column = offset - starts[line - 1] + 1;
  const plain = errors[0] ? printParseErrorCode(errors[0].error).replace(/([a-z])([A-Z])/g, "$1 $2").toLowerCase() : "unexpected text";
  return { path: "", expected: "JSON", message: `The job file is not JSON: ${plain} at line ${line}, column ${column}.`, line };
}

/** Keys given twice in one object, of which JSON.parse silently keeps the last. */
function repeatedKeys(node: Node, steps: readonly Step[]): PlacedFault[] {
  if (node.type === "array") return (node.children ?? []).flatMap((child, i) => repeatedKeys(child, [...steps, i]));
  if (node.type !== "object") return [];
  const seen = new Set<string>();
  return (node.children ?? []).flatMap((property) => {
    const [key, value] = property.children ?? [];
    const at = [...steps, String(key.value)];
    const again = seen.has(String(key.value));
    seen.add(String(key.value));
    const path = pathText(at);
    return [...(again ? [{ steps: at, path, expected: null, message: `${path} is given twice.` }] : []), ...(value ? repeatedKeys(value, at) : [])];
  });
}

function lineStarts(text: string): number[] {
  const starts = [0];
  for (let i = text.indexOf("\n"); i >= 0; i = text.indexOf("\n", i + 1)) starts.push(i + 1);
  return starts;
}

function lineAt(starts: readonly number[], offset: number): number {
  let low = 0;
  let high = starts.length;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (starts[middle] <= offset) low = middle;
    else high = middle;
  }
  return low + 1;
}

/** The line of a place, or of the nearest place around it that exists. */
function lineOf(tree: Node, steps: readonly Step[], starts: readonly number[]): number {
  for (let n = steps.length; n > 0; n--) {
    const node = findNodeAtLocation(tree, steps.slice(0, n));
    if (node) return lineAt(starts, node.offset);
  }
  return lineAt(starts, tree.offset);
}
