import { encloses } from "../geometry/polygon.ts";
import { unexpected, valueAt, type PlacedFault } from "./faults.ts";
import { cutFault, flattenCut } from "./paths.ts";
import { markSize } from "./markSize.ts";
import { codeSchema, cutSchema, jobSchema, markSchema, type Code, type Cut, type Job, type Mark } from "./schema.ts";

/** The parts of a job file that are well-formed, each at its own index, so that what they say together can be checked although others are not. */
interface Parts {
  readonly sheet: Job["sheet"] | null;
  readonly marks: readonly Mark[];
  readonly markAt: readonly number[];
  readonly codes: readonly Code[];
  readonly codeAt: readonly number[];
  readonly cuts: readonly Cut[];
  readonly cutAt: readonly number[];
  readonly complete: boolean;
}

/** What a schema cannot say: sizes that fit one another, ids used once, marks on the sheet and not in one line, paths that draw something. */
export function checkParts(raw: unknown): PlacedFault[] {
  const parts = wellFormed(raw);
  return [...parts.marks.flatMap((m, i) => markFaults(m, parts.markAt[i])), ...repeated(parts), ...offSheet(parts), ...cutFaults(parts), ...spread(parts)];
}

function wellFormed(raw: unknown): Parts {
  const sheet = jobSchema.shape.sheet.safeParse(valueAt(raw, ["sheet"]));
  const marks = each(raw, "marks", (v) => markSchema.safeParse(v));
  const codes = each(raw, "codes", (v) => codeSchema.safeParse(v));
  const cuts = each(raw, "cuts", (v) => cutSchema.safeParse(v));
  return {
    sheet: sheet.success ? sheet.data : null,
    marks: marks.good,
    markAt: marks.at,
    codes: codes.good,
    codeAt: codes.at,
    cuts: cuts.good,
    cutAt: cuts.at,
    complete: Array.isArray(valueAt(raw, ["marks"])) && marks.complete && codes.complete,
  };
}

function each<T>(raw: unknown, key: string, parse: (v: unknown) => { success: true; data: T } | { success: false }): { good: T[]; at: number[]; complete: boolean } {
  const list = valueAt(raw, [key]);
  const good: T[] = [];
  const at: number[] = [];
  if (!Array.isArray(list)) return { good, at, complete: list === undefined };
  for (const [i, v] of list.entries()) {
    const parsed = parse(v);
    if (!parsed.success) continue;
    good.push(parsed.data);
    at.push(i);
  }
  return { good, at, complete: good.length === list.length };
}

function markFaults(mark: Mark, i: number): PlacedFault[] {
  if (mark.shape === "ring" && mark.inner >= mark.outer) return [unexpected(["marks", i, "inner"], `a number less than outer (${mark.outer})`, mark.inner)];
  if (mark.shape === "cross" && mark.stroke >= mark.size) return [unexpected(["marks", i, "stroke"], `a number less than size (${mark.size})`, mark.stroke)];
  return [];
}

function repeated(parts: Parts): PlacedFault[] {
  const among = (list: "marks" | "cuts", ids: readonly string[], at: readonly number[]) =>
    ids.flatMap((id, i) => {
      const first = ids.indexOf(id);
      return first < i ? [unexpected([list, at[i], "id"], `an id that ${list}[${at[first]}] does not have`, id)] : [];
    });
  return [
    ...among("marks", parts.marks.map((m) => m.id), parts.markAt),
    ...among("cuts", parts.cuts.map((c) => c.id), parts.cutAt),
  ];
}

function offSheet({ sheet, marks, markAt, codes, codeAt }: Parts): PlacedFault[] {
  if (!sheet) return [];
  const check = (list: string, i: number, at: { x: number; y: number }) =>
    (["x", "y"] as const).flatMap((axis) => {
      const most = axis === "x" ? sheet.width : sheet.height;
      return at[axis] < 0 || at[axis] > most ? [unexpected([list, i, axis], `a centre on the sheet, 0 to ${most}`, at[axis])] : [];
    });
  return [...marks.flatMap((m, i) => check("marks", markAt[i], m)), ...codes.flatMap((c, i) => check("codes", codeAt[i], c))];
}

function cutFaults({ cuts, cutAt }: Parts): PlacedFault[] {
  return cuts.flatMap((cut, i) => {
    const fault = cutFault(cut);
    if (fault === null) return [];
    return ["circle" in cut ? unexpected(["cuts", cutAt[i], "circle"], fault, cut.circle) : unexpected(["cuts", cutAt[i], "path"], fault, cut.path)];
  });
}

/** Marks spread less than this share of their length across it count as being in one line. */
const IN_LINE = 0.01;

/** The view of the sheet needs three places that are not in one line; a code is one of them. */
function spread({ marks, codes, complete }: Parts): PlacedFault[] {
  if (!complete) return [];
  const places = [...marks, ...codes];
  if (places.length < 3) return [unexpected(["marks"], "at least three marks (a code counts as one)", places.length)];
  return isInLine(places) ? [unexpected(["marks"], "at least three marks that are not in one line (a code counts as one)", "marks in one line")] : [];
}

/** Whether points lie on one line, to 1 % of their length: the ratio of the standard deviations along their principal axes. */
export function isInLine(places: ReadonlyArray<{ readonly x: number; readonly y: number }>): boolean {
  const mx = places.reduce((s, p) => s + p.x, 0) / places.length;
  const my = places.reduce((s, p) => s + p.y, 0) / places.length;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (const p of places) {
    xx += (p.x - mx) ** 2;
    xy += (p.x - mx) * (p.y - my);
    yy += (p.y - my) ** 2;
  }
  const half = Math.hypot((xx - yy) / 2, xy);
  const longest = (xx + yy) / 2 + half;
  const shortest = Math.max(0, (xx + yy) / 2 - half);
  return shortest <= IN_LINE * IN_LINE * longest;
}

/** What is odd about a valid job but can be measured all the same, as sentences. */
export function jobWarnings(job: Job): string[] {
  const { width, height } = job.sheet;
  const reaches = (at: { x: number; y: number }, half: number) => at.x - half < 0 || at.y - half < 0 || at.x + half > width || at.y + half > height;
  const warnings: string[] = [];
  for (const m of job.marks) if (reaches(m, markSize(m) / 2)) warnings.push(`Mark ${m.id} reaches over the sheet's edge and will be measured badly or not at all.`);
  for (const [i, c] of job.codes.entries()) {
    if (reaches(c, c.size / 2)) warnings.push(`Code ${i + 1} reaches over the sheet's edge and cannot be read.`);
    for (const [name] of c.payload.matchAll(/\{[^{}]*\}/g)) if (name !== "{job}" && name !== "{sheet}") warnings.push(`Code ${i + 1}: ${name} in the payload stands for nothing; {job} and {sheet} do.`);
  }
  for (const cut of job.cuts) {
    const points = flattenCut(cut, 0.5).flatMap((s) => s.points);
    if (points.every((p) => p.x < 0) || points.every((p) => p.y < 0) || points.every((p) => p.x > width) || points.every((p) => p.y > height)) warnings.push(`${cut.kind === "cut" ? "Cut" : "Crease"} ${cut.id} lies beside the sheet and will not be found.`);
  }
  warnings.push(...offPieces(job).map((m) => `Mark ${m.id} lies on none of the pieces: once they are stripped it is gone, and cannot be found.`));
  if (!job.cuts.some((c) => c.kind === "cut")) warnings.push("The job has creases only: where the cut sits cannot be judged.");
  if (job.tolerance.crease !== undefined && !job.cuts.some((c) => c.kind === "crease")) warnings.push("The job has a tolerance for creases but no crease.");
  return warnings;
}

/** The marks of stripped pieces that lie outside of all closed cuts. */
function offPieces({ state, marks, cuts }: Job): Mark[] {
  const outlines = state === "stripped" ? cuts.filter((c) => c.kind === "cut").flatMap((c) => flattenCut(c, 0.5)).filter((s) => s.closed) : [];
  return outlines.length === 0 ? [] : marks.filter((m) => !outlines.some((outline) => encloses(outline.points, m)));
}
