import { z } from "zod";
import type { PrintPoint } from "../geometry/frames.ts";

/**
 * The job file `kerfmark.job/1`. All coordinates: print frame, mm. One source for the types, the reader's errors and the
 * published JSON Schema (docs/job.schema.json), whose descriptions are these.
 */

const mm = z.number();
const size = z.number().positive();
const id = z.string().min(1).max(64);
const tone = z.enum(["dark", "light"]).optional().describe("Tone against the ground; without it found from the picture");

const place = { id, x: mm.describe("Centre, mm from the sheet's left edge"), y: mm.describe("Centre, mm from the sheet's lower edge"), tone };

export const markSchema = z.discriminatedUnion("shape", [
  z.strictObject({ ...place, shape: z.literal("dot"), diameter: size }),
  z.strictObject({ ...place, shape: z.literal("ring"), outer: size, inner: size }),
  z.strictObject({ ...place, shape: z.literal("cross"), size, stroke: size, angle: mm.optional().describe("Degrees, counter-clockwise") }),
  z.strictObject({ ...place, shape: z.literal("checker"), diameter: size }),
  z.strictObject({ ...place, shape: z.literal("square"), size }),
]);

export const codeSchema = z.strictObject({
  symbology: z.enum(["qr"]),
  x: mm.describe("Centre of its square without the quiet zone, mm"),
  y: mm.describe("Centre of its square without the quiet zone, mm"),
  size: size.describe("Side of its square without the quiet zone, mm"),
  payload: z.string().min(1).describe("What it reads; {job} and {sheet} stand for the job's id and the sheet's number"),
});

export const cutSchema = z.union([
  z.strictObject({ id, kind: z.enum(["cut", "crease"]), path: z.string().min(1).describe("SVG path data, read with y up, mm") }),
  z.strictObject({
    id,
    kind: z.enum(["cut", "crease"]),
    circle: z.strictObject({ x: mm, y: mm, diameter: size }),
  }),
]);

const toleranceSchema = z.strictObject({
  position: size.describe("Largest deviation of any 10 mm of cut, mm"),
  offset: size.optional().describe("Largest length of the shift at the datum, mm"),
  rotation: size.optional().describe("Largest turn either way, mm per metre"),
  skew: size.optional().describe("Largest departure from square either way, mm per metre"),
  scale: size.optional().describe("Largest stretch or shrink of either axis, mm per metre"),
  crease: size.optional().describe("Largest deviation of any 10 mm of crease, mm"),
});

export const jobSchema = z.strictObject({
  format: z.literal("kerfmark.job/1"),
  id,
  name: z.string().default("").describe("For people; the id where it is not given"),
  sheet: z.strictObject({ width: size, height: size, thickness: size.optional(), material: z.string().optional() }),
  cutFrom: z.enum(["print", "reverse"]).default("print").describe("The side the blade enters; the printed one where it is not said, and a warning tells so"),
  flip: z.enum(["x", "y"]).default("x").describe("How a sheet cut from the reverse is turned over: x left-right, y top-bottom"),
  marks: z.array(markSchema),
  codes: z.array(codeSchema).default([]),
  cuts: z.array(cutSchema).min(1),
  state: z.enum(["in-sheet", "stripped"]).default("in-sheet").describe("Pieces still in the sheet, or only the piece left; in the sheet where it is not said, and a warning tells so"),
  tolerance: toleranceSchema,
  bleed: z.number().nonnegative().optional().describe("Print beyond the cut, mm"),
  safe: z.number().nonnegative().optional().describe("Zone inside the cut that holds nothing which may not be cut, mm"),
  datum: z.strictObject({ x: mm, y: mm }).optional().describe("Point that offset, rotation, skew and scale are about; the sheet's centre without it"),
});

export type Mark = z.infer<typeof markSchema>;
/** A mark that has no id yet: as read off a drawing. */
export type UnnamedMark = WithoutId<Mark>;
type WithoutId<T> = T extends Mark ? Omit<T, "id"> : never;
export type Code = z.infer<typeof codeSchema>;
export type Cut = z.infer<typeof cutSchema>;
export type Tolerance = z.infer<typeof toleranceSchema>;
/** A job as read: defaults filled in. */
export type Job = z.infer<typeof jobSchema>;

/** The point that offset, rotation, skew and scale are about: the job's datum, else the sheet's centre. Print frame, mm. */
export function datumOf(job: Pick<Job, "datum" | "sheet">): PrintPoint {
  return job.datum ?? { x: job.sheet.width / 2, y: job.sheet.height / 2 };
}
