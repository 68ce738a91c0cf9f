import { z } from "zod";
import type { Job, Mark } from "../../job/schema.ts";
import { parseJson } from "../readProfile.ts";

/**
 * The target file `kerfmark.target/1`: a grid of dots, four of them rings that tell which dot is which and which way up the target
 * lies. Dot (column, row) has its centre at (column * pitch, row * pitch), print frame of the target, mm, column 0, row 0 lower left.
 */
export const targetSchema = z.strictObject({
  format: z.literal("kerfmark.target/1"),
  id: z.string().min(1).max(64),
  kind: z.literal("dots"),
  columns: z.number().int().min(5).max(200),
  rows: z.number().int().min(5).max(200),
  pitch: z.number().positive(),
  diameter: z.number().positive(),
  /** [column, row] of the four rings; no three in a line, and not alike when turned or mirrored. */
  rings: z.array(z.tuple([z.number().int().nonnegative(), z.number().int().nonnegative()])).length(4),
  /**
   * Length of the two printed rules as measured with a steel rule, mm, beside what they should be: the printer's scale. Only
   * scanner profiles need it.
   */
  measured: z.strictObject({ x: z.number().positive(), y: z.number().positive(), nominalX: z.number().positive(), nominalY: z.number().positive() }).optional(),
}).refine((t) => t.diameter < 0.8 * t.pitch, { error: "expected diameter below 0.8 pitch", path: ["diameter"] })
  .refine((t) => t.rings.every(([c, r]) => c < t.columns && r < t.rows), { error: "expected rings inside the grid", path: ["rings"] });

export type Target = z.infer<typeof targetSchema>;

export function readTarget(text: string): { readonly ok: true; readonly target: Target } | { readonly ok: false; readonly errors: readonly string[] } {
  const parsed = parseJson(text, targetSchema, "kerfmark.target/1");
  return parsed.ok ? { ok: true, target: parsed.value } : parsed;
}

/** The dots and rings as marks, row by row; true positions by the measured rules where they are given. */
export function marksOf(target: Target): Mark[] {
  const { columns, rows, pitch, diameter, rings, measured } = target;
  const sx = measured ? measured.x / measured.nominalX : 1;
  const sy = measured ? measured.y / measured.nominalY : 1;
  const isRing = new Set(rings.map(([c, r]) => r * columns + c));
  return Array.from({ length: columns * rows }, (_, i): Mark => {
    const place = { id: String(i), x: (i % columns) * pitch * sx, y: Math.floor(i / columns) * pitch * sy, tone: "dark" as const };
    return isRing.has(i) ? { ...place, shape: "ring", outer: diameter, inner: diameter / 2 } : { ...place, shape: "dot", diameter };
  });
}

/** The target seen as a job, for the code that finds marks: one dot and one ring say what to look for, the outer dots how far it reaches. */
export function searchJob(target: Target, marks: readonly Mark[]): Job {
  const last = marks.length - 1;
  const ring = target.rings[0][1] * target.columns + target.rings[0][0];
  const width = marks[last].x + target.pitch;
  const height = marks[last].y + target.pitch;
  return {
    format: "kerfmark.job/1", id: target.id, name: target.id, sheet: { width, height }, cutFrom: "print", flip: "x",
    marks: [marks[0], marks[last], marks[ring]], codes: [], cuts: [{ id: "edge", kind: "cut", path: `M 0 0 H ${width}` }],
    state: "in-sheet", tolerance: { position: 1 },
  };
}
