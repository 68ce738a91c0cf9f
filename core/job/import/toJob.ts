import type { Cut, Job, Mark } from "../schema.ts";
import { circleOf, findMarks, type MarkCandidate } from "./candidates.ts";
import type { Drawing, Meaning } from "./drawing.ts";
import { joinOutlines } from "./join.ts";
import { bounds, flattenOutline, mapOutline, pathData, type Outline } from "./outline.ts";
import { nameOutlines } from "./pieces.ts";

export interface JobOptions {
  readonly id: string;
  readonly name?: string;
  /** mm; the drawing's page where not given. */
  readonly sheet?: { readonly width: number; readonly height: number };
  readonly cutFrom?: "print" | "reverse";
  readonly state?: "in-sheet" | "stripped";
  /** mm; 0.5 where not given. */
  readonly position?: number;
  /** Ends nearer than this are joined, mm. */
  readonly join?: number;
  /** Marks as somebody confirmed them, in whatever group they are drawn; those found in the groups that mean marks where not given. */
  readonly marks?: readonly MarkCandidate[];
  /** What one copy is called in the names of cuts: "piece" where not given. */
  readonly piece?: string;
}

/** A job as drawn. It may lack marks, which a job file must have: `readJob` tells. */
export interface DraftJob {
  readonly job: Job;
  readonly notes: readonly string[];
}

/**
 * Makes a job of a drawing, with the meaning of each of its groups; null where no group with lines means cut or crease. Filled discs, rings,
 * squares, crosses and checkers of groups that mean `mark` become marks.
 */
export function draftJob(drawing: Drawing, meanings: readonly Meaning[], options: JobOptions): DraftJob | null {
  const notes = [...drawing.notes];
  const found = options.marks ?? findMarks(drawing, (group) => meanings[group] === "mark");
  const inMarks = new Set(options.marks?.flatMap((m) => m.outlines));
  const chosen = (wanted: Meaning) => drawing.outlines.filter((o, i) => meanings[o.group] === wanted && !inMarks.has(i));
  const lines = (["cut", "crease"] as const).flatMap((kind) => {
    const { outlines, dropped } = joinOutlines(chosen(kind).map((o) => o.outline), options.join);
    if (dropped > 0) notes.push(`${dropped} ${kind} ${dropped === 1 ? "line was" : "lines were"} drawn twice; the repeats were dropped.`);
    return outlines.map((outline) => ({ kind, outline }));
  });
  if (lines.length === 0) return null;
  const frame = frameOf(drawing, lines.map((l) => l.outline), options, notes);
  const moved = lines.flatMap(({ kind, outline }) => {
    const placed = frame.dx === 0 && frame.dy === 0 ? outline : mapOutline(outline, [1, 0, 0, 1, frame.dx, frame.dy]);
    const path = flattenOutline(placed, 0.05);
    return path ? [{ kind, outline: placed, path }] : [];
  });
  if (moved.length === 0) return null;
  const names = nameOutlines(moved.map(({ path, kind }) => ({ ...path, kind })), options.piece);
  const cuts = moved.map(({ kind, outline }, i): Cut => {
    const circle = outline.closed ? circleOf(outline) : null;
    const id = names[i].name.slice(0, 64);
    // A drawn circle is written as one where its path data would say the same to a micrometre.
    return circle && isExactCircle(outline, circle) ? { id, kind, circle: { x: tidy(circle.x), y: tidy(circle.y), diameter: tidy(circle.diameter) } } : { id, kind, path: pathData(outline) };
  });
  const marks = found.map(({ mark: m }, i): Mark => ({ ...tidied(m), id: `M${i + 1}`, x: tidy(m.x + frame.dx), y: tidy(m.y + frame.dy) }) as Mark);
  if (marks.length < 3) notes.push(`${marks.length === 0 ? "No marks were" : `Only ${marks.length} ${marks.length === 1 ? "mark was" : "marks were"}`} found: add marks to the job before measuring with it.`);
  const job: Job = {
    format: "kerfmark.job/1",
    id: options.id,
    name: options.name ?? options.id,
    sheet: { width: frame.width, height: frame.height },
    cutFrom: options.cutFrom ?? "print",
    flip: "x",
    marks,
    codes: [],
    cuts,
    state: options.state ?? "in-sheet",
    tolerance: { position: options.position ?? 0.5 },
  };
  return { job, notes };
}

function tidy(v: number): number {
  return Math.round(v * 1e4) / 1e4;
}

function tidied<T extends object>(mark: T): T {
  return Object.fromEntries(Object.entries(mark).map(([k, v]) => [k, typeof v === "number" ? tidy(v) : v])) as T;
}

/** Whether the drawn curve stays within a micrometre (and the arc approximation's share) of the circle. */
function isExactCircle(o: Outline, { x, y, diameter }: { x: number; y: number; diameter: number }): boolean {
  const path = flattenOutline(o, 0.0005);
  return path !== null && path.points.every((p) => Math.abs(Math.hypot(p.x - x, p.y - y) - diameter / 2) < 0.001);
}

/** Where the drawing lies on the sheet. Without a page or a size its own extents are taken, with as much margin at the far side as at the near one. */
function frameOf(drawing: Drawing, outlines: readonly Outline[], options: JobOptions, notes: string[]): { width: number; height: number; dx: number; dy: number } {
  const size = options.sheet ?? drawing.page;
  if (size) return { width: tidy(size.width), height: tidy(size.height), dx: 0, dy: 0 };
  const [left, bottom, right, top] = bounds([...outlines, ...drawing.outlines.map((o) => o.outline)]);
  const dx = left < 0 ? -left : 0;
  const dy = bottom < 0 ? -bottom : 0;
  if (dx > 0 || dy > 0) notes.push(`The drawing was moved by ${tidy(dx)}, ${tidy(dy)} mm so that the sheet's lower-left corner is the origin.`);
  notes.push("The drawing does not say the sheet's size: it was taken from the drawing's extents. Check it, or give --sheet WIDTHxHEIGHT.");
  return { width: tidy(Math.max(right + dx + Math.max(left, 0), 1)), height: tidy(Math.max(top + dy + Math.max(bottom, 0), 1)), dx, dy };
}
