import { z } from "zod";

/** The job file `kerfmark.job/1` (contract section 2). All coordinates: print frame, mm. */

const mm = z.number().finite();
const size = z.number().finite().positive();
const id = z.string().min(1).max(64);
const tone = z.enum(["dark", "light"]).optional();

const place = { id, x: mm, y: mm, tone };

export const markSchema = z.discriminatedUnion("shape", [
  z.strictObject({ ...place, shape: z.literal("dot"), diameter: size }),
  z.strictObject({ ...place, shape: z.literal("ring"), outer: size, inner: size }),
  z.strictObject({ ...place, shape: z.literal("cross"), size, stroke: size, angle: mm.optional() }),
  z.strictObject({ ...place, shape: z.literal("checker"), diameter: size }),
  z.strictObject({ ...place, shape: z.literal("square"), size }),
]);

export const codeSchema = z.strictObject({
  symbology: z.enum(["qr"]),
  x: mm,
  y: mm,
  size,
  payload: z.string().min(1),
});

export const cutSchema = z.union([
  z.strictObject({ id, kind: z.enum(["cut", "crease"]), path: z.string().min(1) }),
  z.strictObject({
    id,
    kind: z.enum(["cut", "crease"]),
    circle: z.strictObject({ x: mm, y: mm, diameter: size }),
  }),
]);

export const toleranceSchema = z.strictObject({
  position: size,
  offset: size.optional(),
  rotation: size.optional(),
  skew: size.optional(),
  scale: size.optional(),
  crease: size.optional(),
});

export const jobSchema = z.strictObject({
  format: z.literal("kerfmark.job/1"),
  id,
  name: z.string(),
  sheet: z.strictObject({ width: size, height: size, thickness: size.optional(), material: z.string().optional() }),
  cutFrom: z.enum(["print", "reverse"]),
  flip: z.enum(["x", "y"]).default("x"),
  marks: z.array(markSchema),
  codes: z.array(codeSchema).default([]),
  cuts: z.array(cutSchema).min(1),
  state: z.enum(["in-sheet", "stripped"]),
  tolerance: toleranceSchema,
  bleed: z.number().finite().nonnegative().optional(),
  safe: z.number().finite().nonnegative().optional(),
  datum: z.strictObject({ x: mm, y: mm }).optional(),
});

export type Mark = z.infer<typeof markSchema>;
export type Code = z.infer<typeof codeSchema>;
export type Cut = z.infer<typeof cutSchema>;
export type Tolerance = z.infer<typeof toleranceSchema>;
/** A job as read: defaults filled in. */
export type Job = z.infer<typeof jobSchema>;
