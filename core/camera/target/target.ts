import { z } from "zod";
import { parseJson } from "../readProfile.ts";

const length = z.number().positive();
/**
 * Length of the two printed rules as measured with a steel rule, mm, beside what they should be: the printer's scale. Only
 * scanner profiles need it.
 */
const measured = z.strictObject({ x: length, y: length, nominalX: length, nominalY: length }).optional();
const format = z.literal("kerfmark.target/1");
const id = z.string().min(1).max(64);

/**
 * A grid of dots, four of them rings that tell which dot is which and which way up the target lies. Dot (column, row) has its centre
 * at (column * pitch, row * pitch), print frame of the target, mm, column 0, row 0 lower left.
 */
const dotsSchema = z.strictObject({
  format, id, measured,
  kind: z.literal("dots"),
  columns: z.number().int().min(5).max(200),
  rows: z.number().int().min(5).max(200),
  pitch: length,
  diameter: length,
  /** [column, row] of the four rings; no three in a line, and not alike when turned or mirrored. */
  rings: z.array(z.tuple([z.number().int().nonnegative(), z.number().int().nonnegative()])).length(4),
}).refine((t) => t.diameter < 0.8 * t.pitch, { error: "expected diameter below 0.8 pitch", path: ["diameter"] })
  .refine((t) => t.rings.every(([c, r]) => c < t.columns && r < t.rows), { error: "expected rings inside the grid", path: ["rings"] });

/** Marker dictionaries by the names OpenCV gives them: cells of a marker's side, and how many markers there are. */
const DICTIONARIES = [
  "DICT_4X4_50", "DICT_4X4_100", "DICT_4X4_250", "DICT_4X4_1000", "DICT_5X5_50", "DICT_5X5_100", "DICT_5X5_250", "DICT_5X5_1000",
  "DICT_6X6_50", "DICT_6X6_100", "DICT_6X6_250", "DICT_6X6_1000", "DICT_7X7_50", "DICT_7X7_100", "DICT_7X7_250", "DICT_7X7_1000",
] as const;

/**
 * A ChArUco board: a chessboard with a marker of `dictionary` in every light square, numbered row by row from the upper left, the square
 * in the upper left corner dark. `legacy` is the order of boards made with OpenCV before 4.6, which with an even number of rows have it
 * light. Its points are the inner corners; the lower left corner of the board is (0, 0), print frame of the target, mm.
 */
const boardSchema = z.strictObject({
  format, id, measured,
  kind: z.literal("charuco"),
  /** Squares across and up. */
  columns: z.number().int().min(4).max(60),
  rows: z.number().int().min(4).max(60),
  /** Sides of a square and of a marker with its dark border, mm. */
  square: length,
  marker: length,
  dictionary: z.enum(DICTIONARIES),
  legacy: z.boolean().optional(),
}).refine((t) => t.marker < 0.9 * t.square, { error: "expected marker below 0.9 square: the corners need light around them", path: ["marker"] })
  .refine((t) => Math.floor((t.columns * t.rows) / 2) <= Number(t.dictionary.split("_")[2]), { error: "expected a dictionary with a marker for every light square", path: ["dictionary"] });

/** The target file `kerfmark.target/1`. */
const targetSchema = z.discriminatedUnion("kind", [dotsSchema, boardSchema]);

export type Target = z.infer<typeof targetSchema>;
export type TargetKind = Target["kind"];
export type DotTarget = z.infer<typeof dotsSchema>;
export type BoardTarget = z.infer<typeof boardSchema>;

/** Reads a target file. Each error is one sentence that names the place in the file and what was expected there. */
export function readTarget(text: string): { readonly ok: true; readonly target: Target } | { readonly ok: false; readonly errors: readonly string[] } {
  const parsed = parseJson(text, targetSchema, "kerfmark.target/1", ["dots", "charuco"]);
  return parsed.ok ? { ok: true, target: parsed.value } : parsed;
}

/** How much larger than nominal the print came out, across and up, by the measured rules; 1 without them. */
export function printedScale({ measured }: Target): { readonly x: number; readonly y: number } {
  return measured ? { x: measured.x / measured.nominalX, y: measured.y / measured.nominalY } : { x: 1, y: 1 };
}
